#include "cards/sheets.h"

#include "bill/bill_each.h"
#include "cards/words.h"

#include <inttypes.h>
#include <string.h>

enum { LANE_COLUMNS = 50, NAME_COLUMNS = 12 };

/* A text padded with blanks to COLUMNS (names of one-column characters). */
static void add_padded(struct text *out, const char *text, size_t columns)
{
    text_add(out, text);
    size_t width = 0;
    for (const char *c = text; *c; c++)
        width += ((unsigned char)*c & 0xC0) != 0x80;
    for (; width < columns; width++)
        text_add(out, " ");
}

static int column_of(int32_t ms, int32_t total_ms)
{
    return total_ms ? (int)((int64_t)ms * LANE_COLUMNS / total_ms) : 0;
}

static void add_lane(const struct procedure *procedure, const struct crew *crew,
                     const struct bill *bill, const struct rig *rig, int lane,
                     struct text *out)
{
    char bar[LANE_COLUMNS + 1];
    memset(bar, '.', LANE_COLUMNS);
    bar[LANE_COLUMNS] = '\0';
    for (int i = 0; i < bill->slot_count; i++) {
        const struct bill_slot *slot = &bill->slots[i];
        if (!(rig->lanes_of_step[slot->step] >> lane & 1))
            continue;
        int from = column_of(slot->start_ms, bill->total_ms);
        int to = column_of(slot->end_ms, bill->total_ms);
        for (int c = from; c < to || c == from; c++)
            if (c < LANE_COLUMNS)
                bar[c] = c == from ? '|' : '=';
    }
    text_printf(out, "%2d ", lane + 1);
    add_padded(out, crew->hands[bill->hand[lane]].name, NAME_COLUMNS);
    text_printf(out, "%s  ", bar);
    words_roles(procedure->plan, bill->wears[lane], out);
    text_add(out, "\n");
}

/* The role a step belongs to, where that is not plain from who does it. */
static void add_role_shared(const struct procedure *procedure, role_set wears, int step,
                            struct text *out)
{
    if (!bill_is_shared_out(procedure))
        return;
    text_add(out, " (");
    words_roles(procedure->plan, wears & procedure->steps[step].roles, out);
    text_add(out, ")");
}

static void add_lane_steps(const struct procedure *procedure, const struct bill *bill,
                           const struct rig *rig, int lane, struct text *out)
{
    text_add(out, "   ");
    for (int i = 0; i < bill->slot_count; i++) {
        const struct bill_slot *slot = &bill->slots[i];
        if (!(rig->lanes_of_step[slot->step] >> lane & 1))
            continue;
        text_add(out, " ");
        text_add_seconds(out, slot->start_ms);
        text_add(out, " ");
        words_step(procedure, slot->step, out);
        add_role_shared(procedure, bill->wears[lane], slot->step, out);
        text_add(out, ";");
    }
    text_add(out, "\n");
}

void sheet_bill(const struct procedure *procedure, const struct crew *crew,
                const struct bill *bill, struct text *out)
{
    struct rig rig;
    bill_rig(bill, procedure, &rig);
    text_add(out, "Station bill, planned ");
    text_add_seconds(out, bill->total_ms);
    text_printf(out, " s from the go%s, ", bill->pilot ? ", the pilot steers" : "");
    sheet_bill_proof(bill, out);
    text_add(out, ":\n");
    for (int lane = 0; lane < bill->lane_count; lane++) {
        add_lane(procedure, crew, bill, &rig, lane, out);
        add_lane_steps(procedure, bill, &rig, lane, out);
    }
}

static void add_split(const struct run *run, const struct crew *crew,
                      const struct debrief_split *split, struct text *out)
{
    static const struct {
        uint8_t flag;
        const char *words;
    } marks[] = {{RUN_STEP_BREACH, " BREACH"},
                 {RUN_STEP_UNCLEAR, " unclear"},
                 {RUN_STEP_UNTIMED, " untimed"},
                 {RUN_STEP_SPANS, " not counted"}};
    struct text name = {0}, doer = {0};
    words_step(run->rig->procedure, split->step, &name);
    words_doers(run->rig, run->bill, crew, split->step, &doer);
    text_add(out, "  ");
    add_padded(out, name.at, 18);
    add_padded(out, doer.at, NAME_COLUMNS);
    struct text figures = {0};
    words_split(split, run->mode, &figures);
    text_printf(out, "%8s", figures.at);
    text_free(&figures);
    text_add_seconds(&figures, split->plan_made_ms - split->plan_begun_ms);
    text_printf(out, "%8s", figures.at);
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++)
        if (split->flags & marks[i].flag)
            text_add(out, marks[i].words);
    text_add(out, split->skipped ? " skipped\n" : "\n");
    text_free(&figures);
    text_free(&name);
    text_free(&doer);
}

static void add_findings(const struct run *run, const struct crew *crew, struct text *out)
{
    for (int i = 0; i < run->now.found_count; i++) {
        const struct run_found *found = &run->now.found[i];
        if (run_same_danger(run, i) != i)
            continue;
        text_add(out, "  broken at ");
        text_add_seconds(out, found->at_ms - run->now.go_ms);
        text_add(out, " s, ");
        words_step(run->rig->procedure, found->step, out);
        text_add(out, ": ");
        words_found(run, crew, i, out);
        text_add(out, "\n");
    }
}

static void add_notes(const struct run *run, struct text *out)
{
    for (int i = 0; i < run->event_count; i++)
        if (words_note(&run->events[i]))
            text_printf(out, "  %s: %s\n", words_note(&run->events[i]),
                        run->events[i].text);
}

static void add_short_of_goal(const struct run *run, struct text *out)
{
    const struct procedure *procedure = run->rig->procedure;
    part_set missing = rig_short_of_goal(run->rig, &run->now.rig);
    for (int p = 0; p < run->rig->plan->part_count; p++) {
        if (!(missing >> p & 1))
            continue;
        struct condition is = {.part = (uint8_t)p,
                               .values = (value_set)1 << run->now.rig.part[p]};
        text_add(out, "  not at the goal: ");
        words_condition(procedure->plan, &is, out);
        text_add(out, "\n");
    }
}

void sheet_debrief(const struct run *run, const struct crew *crew,
                   const struct debrief *debrief, struct text *out)
{
    text_printf(out, "%s, %s on %s: ", run->rig->procedure->title,
                run_mode_name(run->mode), board_name(run->rig->procedure->board));
    words_outcome(debrief, run->mode, -1, out);
    text_add(out, ".\n");
    if (*debrief->against)
        text_printf(out, "Started on purpose: %s.\n", debrief->against);
    text_add(out, "  step              hand           split    plan  seconds\n");
    for (int i = 0; i < debrief->split_count; i++)
        add_split(run, crew, &debrief->splits[i], out);
    size_t first = out->length;
    words_counts(debrief, out);
    out->at[first] = 'B';
    text_add(out, ".\n");
    add_findings(run, crew, out);
    if (debrief->outcome == RUN_NOT_AT_GOAL)
        add_short_of_goal(run, out);
    add_notes(run, out);
}
