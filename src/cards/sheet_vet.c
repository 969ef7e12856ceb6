#include "cards/sheet_vet.h"

#include "bill/bill.h"
#include "cards/words.h"

#include <inttypes.h>

static const char *const verdict_words[] = {"SAFE", "NOT SAFE", "SOMEBODY WAITS FOR EVER",
                                            "ENDS WRONG", "UNDECIDED"};

static const char *const checked_words[] = {"not checked", "checked", "refused"};

void sheet_vet_line(const struct rig *rig, const struct vet_report *report, bool mirrored,
                    struct text *out)
{
    text_printf(out, "%-22s %-11s %-24s %" PRIu64 " states, ", rig->procedure->name,
                mirrored ? "both boards" : board_name(rig->procedure->board),
                verdict_words[report->verdict], report->states);
    if (report->orders > 0)
        text_printf(out, "%.3g orders, ", report->orders);
    text_printf(out, "%s%s\n", checked_words[report->checked],
                mirrored ? ", port by mirror" : "");
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
        text_printf(out, "safe in every order (%" PRIu64 " states, %.2g orders)",
                    report->states, report->orders);
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

static void add_step(const struct rig *rig, int step, struct text *out)
{
    words_roles(rig->plan, rig->procedure->steps[step].roles, out);
    text_add(out, " \"");
    words_step(rig->procedure, step, out);
    text_add(out, "\"");
}

static void add_place(const struct rig *rig, int step, struct text *out)
{
    const struct span *where = &rig->procedure->steps[step].where;
    if (where->source)
        text_printf(out, " (%s:%u)", where->source->name, where->line);
}

static void add_headline(const struct rig *rig, const struct vet_found *found,
                         struct text *out)
{
    if (found->kind == VET_BROKEN)
        bill_say_finding(&found->finding, rig, NULL, NULL, out);
    else
        text_add(out, verdict_words[found->kind]);
    text_add(out, "\n");
}

/* The steps finished on the way in order, then those running, the last start apart. */
static step_set add_way(const struct rig *rig, const struct vet_found *found,
                        struct text *out)
{
    step_set begun = 0, done = 0;
    text_printf(out, "  shortest way: %u moves\n", found->way_count);
    for (int i = 0; i < found->way_count; i++) {
        step_set bit = (step_set)1 << found->way[i].step;
        if (!found->way[i].finish) {
            begun |= bit;
            continue;
        }
        done |= bit;
        text_add(out, "    done:   ");
        add_step(rig, found->way[i].step, out);
        text_add(out, i == found->way_count - 1 ? "   <- and now\n" : "\n");
    }
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (begun & ~done & (step_set)1 << s) {
            bool last = found->way_count && !found->way[found->way_count - 1].finish &&
                        found->way[found->way_count - 1].step == s;
            text_add(out, last ? "    STARTS: " : "    doing:  ");
            add_step(rig, s, out);
            if (last)
                add_place(rig, s, out);
            text_add(out, "\n");
        }
    return done;
}

/* Where everybody stands when nothing can go on. */
static void add_waiting(const struct rig *rig, const struct vet_found *found,
                        struct text *out)
{
    struct rig_state state = found->begin;
    for (int i = 0; i < found->way_count; i++)
        if (found->way[i].finish)
            rig_end(rig, &state, found->way[i].step);
        else
            rig_begin(rig, &state, found->way[i].step);
    for (int s = 0; s < rig->procedure->step_count; s++) {
        struct rig_block block = rig_blocked(rig, &state, s);
        const struct conditions *wait = &rig->procedure->steps[s].wait;
        if ((state.begun | state.skipped) >> s & 1 || block.card || block.busy)
            continue;
        text_add(out, "    waits:  ");
        add_step(rig, s, out);
        add_place(rig, s, out);
        for (int i = 0; i < wait->count; i++)
            if (block.waits >> i & 1) {
                text_add(out, " until ");
                words_condition(rig->plan, &wait->at[i], out);
            }
        for (int other = 0; other < rig->procedure->step_count; other++)
            if ((block.after | block.after_started) >> other & 1) {
                text_add(out, " for ");
                add_step(rig, other, out);
            }
        text_add(out, "\n");
    }
}

void sheet_vet_found(const struct rig *rig, const struct vet_found *found, int repair,
                     int repair_step, struct text *out)
{
    add_headline(rig, found, out);
    add_way(rig, found, out);
    if (found->kind == VET_STALL)
        add_waiting(rig, found, out);
    if (repair < 0)
        return;
    text_add(out, "  still missing: ");
    add_step(rig, repair, out);
    text_add(out, "; nothing makes ");
    add_step(rig, repair_step, out);
    text_printf(out, " wait for it.\n  one line mends it: in step %s, after: [..., %s]",
                rig->procedure->steps[repair_step].name,
                rig->procedure->steps[repair].name);
    add_place(rig, repair_step, out);
    text_add(out, "; tried: nothing else breaks, nobody waits for ever.\n");
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

static void add_found_json(const struct rig *rig, const struct vet_report *report,
                           struct json *json)
{
    json_open(json, "found", '[');
    for (int i = 0; i < report->found_count; i++) {
        struct text words = {0};
        add_headline(rig, &report->found[i], &words);
        words.at[words.length - 1] = '\0';
        json_open(json, NULL, '{');
        json_string(json, "kind", vet_verdict_name(report->found[i].kind));
        json_string(json, "what", words.at);
        json_integer(json, "moves", report->found[i].way_count);
        json_close(json, '}');
        text_free(&words);
    }
    json_close(json, ']');
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
    json_integer(json, "states", (int64_t)report->states);
    json_integer(json, "transitions", (int64_t)report->transitions);
    json_integer(json, "begins", (int64_t)report->begins);
    struct text orders = {0};
    text_printf(&orders, "%.17g", report->orders);
    json_string(json, "orders", orders.at);
    text_free(&orders);
    add_found_json(rig, report, json);
    sheet_races_json(rig->procedure, vetted->races, json);
    if (vetted->slips)
        sheet_slips_json(rig, vetted->slips, vetted->pairs, json);
    if (vetted->shares)
        sheet_shares_json(rig->plan, vetted->shares, json);
    json_close(json, '}');
}
