#include "cards/sheet_vet.h"

#include "bill/bill.h"
#include "cards/sheet_lints.h"
#include "cards/sheet_loads.h"

#include <inttypes.h>

static const char *const verdict_words[] = {"SAFE", "NOT SAFE", "SOMEBODY WAITS FOR EVER",
                                            "ENDS WRONG", "UNDECIDED"};

static const char *const checked_words[] = {"not checked", "checked", "refused"};

/* The wind it was vetted for, and what that changed. */
static void add_loads(const struct procedure *procedure, struct text *out)
{
    struct text steps = {0};
    sheet_loads_steps(procedure, &steps);
    text_printf(out, "  with the loads of %.4g kn of true wind%s%s\n",
                procedure->loads->wind_kn, steps.at ? ". " : "",
                steps.at ? steps.at : "");
    text_free(&steps);
}

void sheet_vet_line(const struct rig *rig, const struct vet_report *report, bool mirrored,
                    struct text *out)
{
    text_printf(out, "%-22s %-11s %-24s ", rig->procedure->name,
                mirrored ? "both boards" : board_name(rig->procedure->board),
                verdict_words[report->verdict]);
    if (report->states)
        text_printf(out, "%" PRIu64 " states, ", report->states);
    else
        text_add(out, "by order, states not counted, ");
    if (report->orders > 0)
        text_printf(out, "%.3g orders, ", report->orders);
    text_printf(out, "%s%s\n", checked_words[report->checked],
                mirrored ? ", port by mirror" : "");
    if (rig->procedure->loads)
        add_loads(rig->procedure, out);
    if (report->checked == VET_REFUSED)
        text_add(out, "  THE CHECK REFUSES THIS RESULT: foreguy has made a mistake, not "
                      "the file.\n  Nothing is claimed of this procedure; please report "
                      "it with the file.\n");
}

void sheet_vet_not_mirrored(const char *why, struct text *out)
{
    text_printf(
        out, "  port is not the mirror image of starboard: %s; both were vetted\n", why);
}

void sheet_vet_proof(const struct rig *rig, const struct vet_report *report,
                     struct text *out)
{
    if (report->verdict == VET_SAFE) {
        text_add(out, "safe in every order");
        if (report->orders > 0)
            text_printf(out, " (%" PRIu64 " states, %.2g orders)", report->states,
                        report->orders);
        return;
    }
    text_printf(out, "not proved: %s", vet_verdict_name(report->verdict));
    if (report->checked == VET_REFUSED)
        text_add(out, ", foreguy's own check refuses the proof");
    for (int i = 0; i < report->found_count; i++)
        if (report->found[i].kind == VET_BROKEN) {
            text_add(out, ", ");
            bill_say_finding(&report->found[i].finding, rig, NULL, NULL, out);
            return;
        }
}

void sheet_vet_footer(const struct rig *rig, struct text *out)
{
    text_printf(
        out,
        "Held against %u rules, needs, two hands a person, places and shared "
        "gear.\nNot claimed: that the rig does what a step says, hazards no rule "
        "names, people\ndoing things that are on no card, forces, weather, time.\n",
        rig->procedure->rules.count);
}

void sheet_vet_json(const struct vetted *vetted, struct json *json)
{
    const struct rig *rig = vetted->rig;
    const struct vet_report *report = vetted->report;
    json_open(json, NULL, '{');
    json_string(json, "procedure", rig->procedure->name);
    json_string(json, "board", board_name(rig->procedure->board));
    json_bool(json, "mirrored", vetted->mirrored);
    json_string(json, "verdict", vet_verdict_name(report->verdict));
    json_string(json, "check", checked_words[report->checked]);
    sheet_loads_json(rig->procedure, json);
    json_integer(json, "states", (int64_t)report->states);
    json_integer(json, "transitions", (int64_t)report->transitions);
    struct text orders = {0};
    text_printf(&orders, "%.17g", report->orders);
    json_string(json, "orders", orders.at);
    text_free(&orders);
    sheet_found_json(rig, report, vetted->mends, json);
    sheet_races_json(rig->procedure, vetted->races, json);
    sheet_notes_json(vetted->notes, json);
    if (vetted->slips)
        sheet_slips_json(rig, vetted->slips, vetted->pairs, json);
    if (vetted->shares)
        sheet_shares_json(rig->plan, vetted->shares, json);
    json_close(json, '}');
}
