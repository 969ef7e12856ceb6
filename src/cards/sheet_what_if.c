#include "cards/sheets.h"
#include "cards/words.h"

#include <string.h>

static void add_change(const struct answer *answer, const struct bill *bill,
                       struct text *out)
{
    if (answer->verdict != BILL_FOUND) {
        text_add(out, answer->verdict == BILL_NONE ? "no bill" : "no bill found");
        return;
    }
    text_add_seconds(out, answer->total_ms);
    text_add(out, " s");
    int32_t change_ms = bill ? answer->total_ms - bill->total_ms : 0;
    if (change_ms) {
        text_add(out, change_ms > 0 ? ", longer by " : ", shorter by ");
        text_add_seconds(out, change_ms > 0 ? change_ms : -change_ms);
        text_add(out, " s");
    }
    if (!answer->proved)
        text_add(out, ", not proved");
}

static void add_names(const struct crew *crew, uint64_t hands, struct text *out)
{
    bool first = true;
    for (int h = 0; h < crew->hand_count; h++)
        if (hands >> h & 1) {
            text_printf(out, "%s%s", first ? "" : ", ", crew->hands[h].name);
            first = false;
        }
}

static void add_by_hands(const struct crew *crew, const struct what_if *what_if,
                         struct text *out)
{
    text_add(out, "With at most so many of those aboard:\n");
    for (int n = what_if->least; n <= what_if->most; n++) {
        const struct answer *answer = &what_if->by_hands[n];
        const struct answer *fewer = &what_if->by_hands[n > what_if->least ? n - 1 : n];
        text_printf(out, "  %2d  ", n);
        add_change(answer, NULL, out);
        if (answer->verdict == BILL_FOUND && n > what_if->least &&
            fewer->verdict == BILL_FOUND && fewer->total_ms <= answer->total_ms) {
            text_add(out, ": gains nothing");
        } else if (answer->verdict == BILL_FOUND) {
            text_add(out, ": ");
            add_names(crew, answer->hands, out);
        }
        text_add(out, "\n");
    }
}

/* Those that change nothing are only counted. */
static void add_swapped(const struct crew *crew, const struct bill *bill,
                        const struct what_if *what_if, struct text *out)
{
    int same = 0;
    if (what_if->swapped_count)
        text_add(out, "Two who change places:\n");
    for (int i = 0; i < what_if->swapped_count; i++) {
        const struct swapped *swapped = &what_if->swapped[i];
        if (swapped->answer.verdict == BILL_FOUND &&
            swapped->answer.total_ms == bill->total_ms) {
            same++;
            continue;
        }
        text_printf(out, "  %s and %s: ", crew->hands[swapped->one].name,
                    crew->hands[swapped->other].name);
        add_change(&swapped->answer, bill, out);
        text_add(out, "\n");
    }
    if (same)
        text_printf(out, "  %d other pairs: no change\n", same);
}

void sheet_what_if(const struct procedure *procedure, const struct crew *crew,
                   const struct bill *bill, const struct what_if *what_if,
                   struct text *out)
{
    add_by_hands(crew, what_if, out);
    if (what_if->away_count)
        text_add(out, "One of them away:\n");
    for (int i = 0; i < what_if->away_count; i++) {
        text_printf(out, "  without %s: ", crew->hands[what_if->away[i].hand].name);
        add_change(&what_if->away[i].answer, bill, out);
        text_add(out, "\n");
    }
    add_swapped(crew, bill, what_if, out);
    text_add(out, what_if->learnt_count ? "Learning that would pay most:\n"
                                        : "No role that one more hand learnt would make "
                                          "it shorter.\n");
    for (int i = 0; i < what_if->learnt_count; i++) {
        const struct learnt *learnt = &what_if->learnt[i];
        text_printf(out, "  %s able as ", crew->hands[learnt->hand].name);
        words_roles(procedure->plan, (role_set)(1u << learnt->role), out);
        text_add(out, ": ");
        add_change(&learnt->answer, bill, out);
        text_add(out, "\n");
    }
}

static void add_answer_json(const struct answer *answer, struct json *json)
{
    if (answer->verdict == BILL_FOUND) {
        json_integer(json, "total_ms", answer->total_ms);
        json_bool(json, "proved", answer->proved);
    } else {
        json_null(json, "total_ms");
        json_bool(json, "proved", answer->verdict == BILL_NONE);
    }
    json_close(json, '}');
}

void sheet_what_if_json(const struct procedure *procedure, const struct crew *crew,
                        const struct what_if *what_if, struct json *json)
{
    json_open(json, "by_hands", '[');
    for (int n = what_if->least; n <= what_if->most; n++) {
        json_open(json, NULL, '{');
        json_integer(json, "hands", n);
        add_answer_json(&what_if->by_hands[n], json);
    }
    json_close(json, ']');
    json_open(json, "away", '[');
    for (int i = 0; i < what_if->away_count; i++) {
        json_open(json, NULL, '{');
        json_string(json, "hand", crew->hands[what_if->away[i].hand].name);
        add_answer_json(&what_if->away[i].answer, json);
    }
    json_close(json, ']');
    json_open(json, "swapped", '[');
    for (int i = 0; i < what_if->swapped_count; i++) {
        json_open(json, NULL, '{');
        json_string(json, "hand", crew->hands[what_if->swapped[i].one].name);
        json_string(json, "with", crew->hands[what_if->swapped[i].other].name);
        add_answer_json(&what_if->swapped[i].answer, json);
    }
    json_close(json, ']');
    json_open(json, "learnt", '[');
    for (int i = 0; i < what_if->learnt_count; i++) {
        json_open(json, NULL, '{');
        json_string(json, "hand", crew->hands[what_if->learnt[i].hand].name);
        json_string(json, "role", procedure->plan->roles[what_if->learnt[i].role].name);
        add_answer_json(&what_if->learnt[i].answer, json);
    }
    json_close(json, ']');
}
