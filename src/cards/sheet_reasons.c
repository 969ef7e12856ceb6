#include "cards/sheet_loads.h"
#include "cards/sheets.h"
#include "cards/words.h"

#include <string.h>

void sheet_bill_proof(const struct bill *bill, struct text *out)
{
    if (bill->proved || bill->least_ms == bill->total_ms) {
        text_add(out, "proved shortest");
        return;
    }
    if (!bill->least_ms || bill->least_ms > bill->total_ms) {
        text_add(out, "not proved shortest");
        return;
    }
    int over = (int)(((int64_t)bill->total_ms - bill->least_ms) * 100 / bill->least_ms);
    text_printf(out, "within %d %% of the best possible", over + 1);
}

static void add_doers(const struct procedure *procedure, const struct crew *crew,
                      const struct bill *bill, int step, struct text *out)
{
    struct rig rig;
    bill_rig(bill, procedure, &rig);
    words_doers(&rig, bill, crew, step, out);
}

static void add_step(const struct procedure *procedure, const struct crew *crew,
                     const struct bill *bill, int step, struct text *out)
{
    add_doers(procedure, crew, bill, step, out);
    text_add(out, " \"");
    words_step(procedure, step, out);
    text_add(out, "\"");
}

void sheet_reason(const struct procedure *procedure, const struct crew *crew,
                  const struct bill *bill, const struct bill_reason *reason,
                  struct text *out)
{
    switch (reason->because) {
    case BECAUSE_GO:
        text_add(out, "starts at the go");
        return;
    case BECAUSE_AFTER:
        text_add(out, reason->of_start ? "comes after the start of " : "comes after ");
        break;
    case BECAUSE_WAIT:
        text_add(out,
                 reason->of_start ? "waits for what the start of " : "waits for what ");
        add_step(procedure, crew, bill, reason->of, out);
        text_add(out, " brings");
        return;
    case BECAUSE_HAND:
        text_add(out, "is for the same hand as ");
        break;
    case BECAUSE_WALK:
        text_printf(out, "(%s walks ", crew->hands[bill->hand[reason->lane]].name);
        text_add_seconds(out, reason->walk_ms);
        text_add(out, reason->of < 0 ? " s to it)" : " s to it from ");
        if (reason->of < 0)
            return;
        add_step(procedure, crew, bill, reason->of, out);
        text_add(out, ")");
        return;
    case BECAUSE_TAKER:
        text_add(out, "ends when the line is taken by ");
        break;
    case BECAUSE_ROOM:
        text_add(out, "would break something sooner");
        return;
    }
    add_step(procedure, crew, bill, reason->of, out);
}

static void add_chain(const struct procedure *procedure, const struct crew *crew,
                      const struct bill *bill, const struct bill_reasons *reasons,
                      struct text *out)
{
    text_add(out, "What decides the time, from the go:\n");
    for (int i = reasons->count - 1; i >= 0; i--) {
        const struct bill_reason *reason = &reasons->chain[i];
        const struct bill_slot *slot = bill_slot_of(bill, reason->step);
        struct text figures = {0};
        text_add_seconds(&figures, slot->start_ms);
        text_add(&figures, " to ");
        text_add_seconds(&figures, slot->end_ms);
        text_printf(out, "  %15s s  ", figures.at);
        add_step(procedure, crew, bill, reason->step, out);
        text_add(out, " ");
        sheet_reason(procedure, crew, bill, reason, out);
        text_add(out, "\n");
        text_free(&figures);
    }
}

static void add_slack(const struct procedure *procedure, const struct crew *crew,
                      const struct bill *bill, const struct bill_reasons *reasons,
                      struct text *out)
{
    text_add(out, "What may be late, and the total stays (seconds):\n");
    for (int i = 0; i < bill->slot_count; i++) {
        int step = bill->slots[i].step;
        struct text figures = {0};
        text_add_seconds(&figures, reasons->slack_ms[step]);
        text_printf(out, "  %8s  ", reasons->slack_ms[step] ? figures.at : "-");
        add_step(procedure, crew, bill, step, out);
        text_add(out, "\n");
        text_free(&figures);
    }
}

static void add_busy(const struct crew *crew, const struct bill *bill,
                     const struct bill_reasons *reasons, struct text *out)
{
    text_add(out, "How busy each hand is (seconds in steps):\n");
    for (int lane = 0; lane < bill->lane_count; lane++) {
        struct text figures = {0};
        text_add_seconds(&figures, reasons->busy_ms[lane]);
        text_printf(out, "  %8s  %s\n", figures.at, crew->hands[bill->hand[lane]].name);
        text_free(&figures);
    }
}

void sheet_reasons(const struct procedure *procedure, const struct crew *crew,
                   const struct bill *bill, const struct bill_reasons *reasons,
                   enum units units, struct text *out)
{
    if (reasons->count)
        add_chain(procedure, crew, bill, reasons, out);
    if (reasons->count)
        add_slack(procedure, crew, bill, reasons, out);
    add_busy(crew, bill, reasons, out);
    sheet_claims(procedure, crew, bill, reasons, units, out);
}

static const char *const because_names[] = {"go",   "after", "wait", "hand",
                                            "walk", "taker", "room"};

static void add_slots_json(const struct procedure *procedure, const struct bill *bill,
                           const struct bill_reasons *reasons, struct json *json)
{
    json_open(json, "steps", '[');
    for (int i = 0; i < bill->slot_count; i++) {
        const struct bill_slot *slot = &bill->slots[i];
        json_open(json, NULL, '{');
        json_string(json, "step", procedure->steps[slot->step].name);
        json_integer(json, "start_ms", slot->start_ms);
        json_integer(json, "end_ms", slot->end_ms);
        if (reasons->count)
            json_integer(json, "slack_ms", reasons->slack_ms[slot->step]);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void add_chain_json(const struct procedure *procedure,
                           const struct bill_reasons *reasons, struct json *json)
{
    json_open(json, "chain", '[');
    for (int i = reasons->count - 1; i >= 0; i--) {
        const struct bill_reason *reason = &reasons->chain[i];
        json_open(json, NULL, '{');
        json_string(json, "step", procedure->steps[reason->step].name);
        json_string(json, "because", because_names[reason->because]);
        if (reason->of >= 0)
            json_string(json, "of", procedure->steps[reason->of].name);
        if (reason->walk_ms)
            json_integer(json, "walk_ms", reason->walk_ms);
        json_close(json, '}');
    }
    json_close(json, ']');
}

void sheet_bill_json(const struct procedure *procedure, const struct crew *crew,
                     const struct bill *bill, const struct bill_reasons *reasons,
                     struct json *json)
{
    json_string(json, "procedure", procedure->name);
    json_string(json, "board", board_name(procedure->board));
    json_bool(json, "pilot", bill->pilot);
    sheet_loads_json(procedure, json);
    json_integer(json, "total_ms", bill->total_ms);
    json_bool(json, "proved", bill->proved);
    json_integer(json, "least_ms", bill->least_ms);
    json_open(json, "hands", '[');
    for (int lane = 0; lane < bill->lane_count; lane++) {
        json_open(json, NULL, '{');
        json_string(json, "hand", crew->hands[bill->hand[lane]].name);
        json_open(json, "roles", '[');
        role_set roles = rig_plan_names_once(procedure->plan, bill->wears[lane]);
        for (int role = 0; role < procedure->plan->role_count; role++)
            if (roles >> role & 1)
                json_string(json, NULL, procedure->plan->roles[role].name);
        json_close(json, ']');
        json_integer(json, "busy_ms", reasons->busy_ms[lane]);
        json_close(json, '}');
    }
    json_close(json, ']');
    add_slots_json(procedure, bill, reasons, json);
    add_chain_json(procedure, reasons, json);
    sheet_claims_json(procedure, bill, reasons, json);
}
