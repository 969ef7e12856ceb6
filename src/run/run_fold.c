/* From events to the view.  Three events look back: an undone event never was, a skipped
 * step was never begun by reckoning, and steps answered as made too were made before the
 * mark that raised the question. */
#include "run/internal.h"

#include <assert.h>
#include <string.h>

struct folding {
    const struct run *run;
    struct run_view *view;
    int64_t at_ms;
    step_set never; /* left out by a skip: never reckoned */
    bool batch;     /* steps were made whose moment nobody knows */
};

static step_set bit(int step)
{
    return (step_set)1 << step;
}

bool run_looks_back(enum run_kind kind)
{
    return kind == RUN_UNDONE || kind == RUN_SKIPPED || kind == RUN_TOO;
}

bool run_can_be_undone(enum run_kind kind)
{
    return kind == RUN_MADE || kind == RUN_BEGUN || kind == RUN_TOO ||
           kind == RUN_EARLY || kind == RUN_CAUGHT_UP || kind == RUN_SKIPPED ||
           kind == RUN_ALL_MADE;
}

static part_set parts_of(const struct effects *effects)
{
    part_set parts = 0;
    for (int i = 0; i < effects->count; i++)
        parts |= (part_set)1 << effects->at[i].part;
    return parts;
}

void run_fold_start(const struct run *run, struct run_view *view)
{
    *view = (struct run_view){.phase = RUN_BRIEFING,
                              .go_ms = -1,
                              .over_ms = -1,
                              .held_since_ms = -1,
                              .last_mark_ms = -1,
                              .question = -1,
                              .overboard_ms = -1};
    rig_start(run->rig, &view->rig);
    for (int s = 0; s < STEPS_MAX; s++) {
        bool before = (view->rig.begun | view->rig.skipped) >> s & 1;
        view->steps[s] = (struct run_step){
            .begun_ms = -1, .made_ms = -1, .flags = before ? RUN_STEP_UNTIMED : 0};
    }
}

static void note_finding(struct folding *f, const struct finding *finding, int step)
{
    struct run_view *view = f->view;
    for (int i = 0; i < view->found_count; i++) {
        struct run_found *found = &view->found[i];
        if (!finding_same(&found->finding, finding))
            continue;
        found->seen = found->seen && found->broken; /* broken once more */
        return;
    }
    if (view->found_count < RUN_FOUND_MAX)
        view->found[view->found_count++] = (struct run_found){
            .finding = *finding, .at_ms = f->at_ms, .step = (uint8_t)step};
}

/* Which of the found are so in the rig as it is now. */
static void see_what_is_broken(struct folding *f)
{
    struct findings now = {0};
    if (f->view->found_count)
        rig_find(f->run->rig, &f->view->rig, &now);
    for (int i = 0; i < f->view->found_count; i++)
        f->view->found[i].broken = findings_have(&now, &f->view->found[i].finding);
}

static void note_findings(struct folding *f, const struct findings *found, int step)
{
    for (int i = 0; i < found->count; i++)
        note_finding(f, &found->at[i], step);
}

/* All holds so far, the one that lasts among them. */
static int64_t held_ms(const struct folding *f)
{
    const struct run_view *view = f->view;
    return view->held_ms +
           (view->held_since_ms >= 0 ? f->at_ms - view->held_since_ms : 0);
}

static void begin(struct folding *f, int s, bool reckoned)
{
    struct run_view *view = f->view;
    const struct step *step = &f->run->rig->procedure->steps[s];
    struct findings found = {0};
    rig_find_start(f->run->rig, &view->rig, s, &found);
    rig_begin(f->run->rig, &view->rig, s);
    rig_find(f->run->rig, &view->rig, &found);
    note_findings(f, &found, s);
    view->steps[s].begun_ms = f->at_ms;
    view->steps[s].held_before_ms = held_ms(f);
    view->steps[s].flags |= reckoned ? RUN_STEP_RECKONED : 0;
    if (reckoned)
        view->reckoned_parts |= parts_of(&step->start);
    else
        view->reckoned_parts &= ~parts_of(&step->start);
}

static void end(struct folding *f, int s, uint8_t flags)
{
    struct run_view *view = f->view;
    const struct step *step = &f->run->rig->procedure->steps[s];
    if (!(view->rig.begun & bit(s))) {
        begin(f, s, false);
        flags |= RUN_STEP_NO_START;
    }
    struct findings found = {0};
    rig_find_finish(f->run->rig, &view->rig, s, &found);
    rig_end(f->run->rig, &view->rig, s);
    rig_find(f->run->rig, &view->rig, &found);
    note_findings(f, &found, s);
    view->reckoned_parts &= ~(parts_of(&step->start) | parts_of(&step->finish));
    view->steps[s].made_ms = f->at_ms;
    view->steps[s].flags |= flags;
}

/* Starting S now would break something that is not broken already: nobody is reckoned
 * to have done that; it takes a mark. */
static bool breaks_something(const struct rig *rig, const struct rig_state *state, int s)
{
    struct findings before = {0}, after = {0};
    rig_find_start(rig, state, s, &after);
    rig_find(rig, state, &before);
    struct rig_state next = *state;
    rig_begin(rig, &next, s);
    rig_find(rig, &next, &after);
    for (int i = 0; i < after.count; i++)
        if (!findings_have(&before, &after.at[i]))
            return true;
    return false;
}

/* Begins what is ready, in the bill's order, until nothing more is. */
static void reckon(struct folding *f)
{
    const struct run *run = f->run;
    bool any = f->view->phase == RUN_LIVE || f->view->phase == RUN_ON_HOLD;
    while (any) {
        any = false;
        step_set ready = rig_ready(run->rig, &f->view->rig) & ~f->never;
        for (int i = 0; i < run->bill->slot_count && !any; i++) {
            int s = run->bill->slots[i].step;
            if (ready >> s & 1 && !breaks_something(run->rig, &f->view->rig, s)) {
                begin(f, s, true);
                any = true;
            }
        }
    }
}

static void flag_steps(struct folding *f, step_set steps, uint8_t flags)
{
    for (int s = 0; s < f->run->rig->procedure->step_count; s++)
        if (steps >> s & 1)
            f->view->steps[s].flags |= flags;
}

static void flag_running(struct folding *f, uint8_t flags)
{
    flag_steps(f, rig_running(&f->view->rig), flags);
}

/* What the plan has begun before S starts. */
static step_set planned_begun(const struct run *run, int s)
{
    int32_t start = bill_slot_of(run->bill, s)->start_ms;
    step_set set = 0;
    for (int i = 0; i < run->bill->slot_count; i++)
        if (run->bill->slots[i].start_ms <= start && run->bill->slots[i].step != s)
            set |= bit(run->bill->slots[i].step);
    return set;
}

static step_set block_set(const struct run *run, const struct rig_state *state, int s)
{
    struct rig_block block = rig_blocked(run->rig, state, s);
    step_set must = block.after | block.after_started | block.card;
    return (must | block.needs) & (planned_begun(run, s) | must);
}

/* The steps that have to take a line before S, which gives it, is made. */
static step_set takers_missing(const struct run *run, const struct rig_state *state,
                               int s)
{
    return rig_takers(run->rig, s) & ~state->done & ~state->skipped;
}

/* What is missing of S itself: before its start, and before its finish where it is one.
 */
static step_set missing_of(const struct run *run, const struct rig_state *state, int s,
                           bool finish)
{
    step_set missing = state->begun & bit(s) ? 0 : block_set(run, state, s);
    return missing | (finish ? takers_missing(run, state, s) : 0);
}

/* That, and all that is missing before it. */
static step_set missing_before(const struct run *run, const struct rig_state *state,
                               int s, bool finish)
{
    step_set missing = missing_of(run, state, s, finish), looked_at = bit(s);
    for (step_set next; (next = missing & ~looked_at) != 0;) {
        for (int m = 0; m < run->rig->procedure->step_count; m++)
            if (next >> m & 1)
                missing |= missing_of(run, state, m, true);
        looked_at |= next;
    }
    return missing & ~bit(s) & ~state->done;
}

/* The mark of S came before it could: its start, or a giver's finish before the taker. */
static bool is_early(const struct run *run, const struct rig_state *state, int s,
                     step_set takers)
{
    if (state->begun & bit(s))
        return takers != 0;
    struct rig_block block = rig_blocked(run->rig, state, s);
    return takers | block.after | block.after_started | block.card | block.waits;
}

/* The next event of the plan among the steps of SET: a start, or the finish of one that
 * is begun and is over by UNTIL_MS or in MADE.  False where there is none. */
static bool next_planned(const struct folding *f, step_set set, step_set made,
                         int32_t until_ms, int *step, bool *finish)
{
    const struct rig_state *state = &f->view->rig;
    int32_t first_ms = INT32_MAX;
    *step = -1;
    *finish = false;
    for (int i = 0; i < f->run->bill->slot_count; i++) {
        const struct bill_slot *slot = &f->run->bill->slots[i];
        bool begun = state->begun & bit(slot->step);
        int32_t at_ms = begun ? slot->end_ms : slot->start_ms;
        if (!(set & bit(slot->step) & ~state->done & ~state->skipped) ||
            (begun && slot->end_ms > until_ms && !(made & bit(slot->step))))
            continue;
        if (*step < 0 || at_ms < first_ms || (at_ms == first_ms && begun && !*finish)) {
            *step = slot->step;
            *finish = begun;
            first_ms = at_ms;
        }
    }
    return *step >= 0;
}

/* Begins the steps of SET and makes those of them that the plan has over by UNTIL_MS or
 * that are in MADE, in the plan's order: the crew's own nobody has seen, and another
 * would break what nobody broke. */
static void make_silently(struct folding *f, step_set set, step_set made,
                          int32_t until_ms)
{
    int step;
    bool finish;
    while (next_planned(f, set, made, until_ms, &step, &finish)) {
        f->batch = true;
        if (finish)
            end(f, step, RUN_STEP_UNTIMED);
        else
            begin(f, step, true);
    }
}

static void close_question(struct folding *f, uint8_t flag)
{
    if (f->view->question >= 0)
        f->view->steps[f->view->question].flags |= flag;
    f->view->question = -1;
    f->view->question_missing = 0;
}

/* The mark at event I was answered "made too". */
static bool answered_too(const struct run *run, int i)
{
    for (int j = i + 1; j < run->event_count; j++) {
        const struct run_event *event = &run->events[j];
        if (run->undone[j])
            continue;
        if (event->kind == RUN_TOO && event->step == run->events[i].step)
            return true;
        if (event->kind == RUN_MADE || event->kind == RUN_BEGUN ||
            event->kind == RUN_CAUGHT_UP || event->kind == RUN_SKIPPED)
            return false; /* the next mark closes the question */
    }
    return false;
}

static void mark(struct folding *f, int i, bool finish)
{
    struct run_view *view = f->view;
    int s = f->run->events[i].step;
    close_question(f, RUN_STEP_UNCLEAR);
    step_set missing = missing_before(f->run, &view->rig, s, finish);
    step_set takers = finish ? takers_missing(f->run, &view->rig, s) : 0;
    bool early = is_early(f->run, &view->rig, s, takers);
    if (early && answered_too(f->run, i)) {
        const struct bill_slot *slot = bill_slot_of(f->run->bill, s);
        make_silently(f, missing, f->run->rig->procedure->steps[s].after | takers,
                      takers ? slot->end_ms : slot->start_ms);
    } else if (early) {
        view->question = (int8_t)s;
        view->question_missing = missing;
    }
    if (finish) {
        end(f, s, 0);
    } else if (!(view->rig.begun & bit(s))) {
        begin(f, s, false);
    } else {
        view->steps[s].begun_ms = f->at_ms;
        view->steps[s].held_before_ms = held_ms(f);
        view->steps[s].flags &= (uint8_t)~RUN_STEP_RECKONED;
        view->reckoned_parts &= ~parts_of(&f->run->rig->procedure->steps[s].start);
    }
}

static void catch_up(struct folding *f, int s)
{
    close_question(f, RUN_STEP_UNCLEAR);
    step_set before = run_before(f->run, s);
    flag_running(f, RUN_STEP_SPANS);
    make_silently(f, before, before, INT32_MAX);
}

static void skip(struct folding *f, int s)
{
    close_question(f, RUN_STEP_UNCLEAR);
    rig_skip(&f->view->rig, s);
    flag_running(f, RUN_STEP_SPANS);
}

static void all_made(struct folding *f)
{
    step_set all = procedure_all_steps(f->run->rig->procedure);
    make_silently(f, all, all, INT32_MAX);
    f->view->outcome = RUN_UNTIMED;
}

static void hold(struct folding *f, bool on)
{
    struct run_view *view = f->view;
    if (on) {
        view->phase = RUN_ON_HOLD;
        view->held_since_ms = f->at_ms;
        flag_running(f, RUN_STEP_SPANS);
        return;
    }
    view->phase = RUN_LIVE;
    view->held_ms += f->at_ms - view->held_since_ms;
    view->held_since_ms = -1;
}

static void close_run(struct folding *f, enum run_outcome outcome)
{
    struct run_view *view = f->view;
    if (view->phase == RUN_ON_HOLD)
        hold(f, false);
    if (view->question >= 0) /* it can still be answered */
        view->steps[view->question].flags |= RUN_STEP_UNCLEAR;
    view->phase = RUN_OVER;
    view->outcome = outcome;
    view->over_ms = f->at_ms;
}

static void see_whether_over(struct folding *f)
{
    struct run_view *view = f->view;
    if ((view->phase != RUN_LIVE && view->phase != RUN_ON_HOLD) ||
        !rig_ended(f->run->rig, &view->rig))
        return;
    if (rig_short_of_goal(f->run->rig, &view->rig))
        close_run(f, RUN_NOT_AT_GOAL);
    else
        close_run(f, view->outcome == RUN_UNTIMED ? RUN_UNTIMED : RUN_DONE);
}

/* The steps of all skips that stand, wherever in the run they are. */
static step_set skipped_ever(const struct run *run)
{
    step_set set = 0;
    for (int i = 0; i < run->event_count; i++)
        if (run->events[i].kind == RUN_SKIPPED && !run->undone[i])
            set |= bit(run->events[i].step);
    return set;
}

/* A run that begins from a state has steps running at its go. */
static void begin_running(struct folding *f)
{
    step_set running = rig_running(&f->view->rig);
    for (int s = 0; s < f->run->rig->procedure->step_count; s++)
        if (running >> s & 1)
            f->view->steps[s].begun_ms = f->at_ms;
}

static void break_off(struct folding *f, int mishap)
{
    if (mishap >= 0)
        rig_apply(&f->view->rig, &f->run->rig->plan->mishaps[mishap].sets);
    close_run(f, RUN_WAS_BROKEN_OFF);
}

static void fold_live(struct folding *f, int i)
{
    struct run_view *view = f->view;
    const struct run_event *event = &f->run->events[i];
    switch ((enum run_kind)event->kind) {
    case RUN_CHECKED:
        view->checks[event->step] = event->value ? 1 : 2;
        break;
    case RUN_GO:
        view->phase = RUN_LIVE;
        view->go_ms = event->at_ms;
        begin_running(f);
        view->overruled = (uint8_t)event->value;
        break;
    case RUN_MADE:
        mark(f, i, true);
        view->last_mark_ms = event->at_ms;
        view->last_mark_key = event->value;
        break;
    case RUN_BEGUN:
        mark(f, i, false);
        break;
    case RUN_EARLY:
        if (view->question == event->step) {
            view->steps[event->step].flags &= (uint8_t)~RUN_STEP_UNCLEAR;
            close_question(f, RUN_STEP_BREACH);
        }
        break;
    case RUN_CAUGHT_UP:
        catch_up(f, event->step);
        break;
    case RUN_SKIPPED:
        skip(f, event->step);
        break;
    case RUN_UNDONE:
    case RUN_RESUMED:
        flag_running(f, RUN_STEP_SPANS);
        break;
    case RUN_HELD: /* looked back on, the run may have been over by then */
        if (view->phase == RUN_LIVE)
            hold(f, true);
        break;
    case RUN_WENT_ON:
        if (view->phase == RUN_ON_HOLD)
            hold(f, false);
        break;
    case RUN_NOTED:
        view->notes++;
        break;
    case RUN_SEEN:
        for (int j = 0; j < view->found_count; j++)
            view->found[j].seen = true;
        break;
    case RUN_ALL_MADE:
        all_made(f);
        break;
    case RUN_STOPPED:
        close_run(f, RUN_WAS_STOPPED);
        break;
    case RUN_BROKEN_OFF:
        break_off(f, event->value);
        break;
    case RUN_OVERBOARD:
        if (view->overboard_ms < 0)
            view->overboard_ms = event->at_ms;
        break;
    case RUN_LINKED:
    case RUN_MARK:
    case RUN_TOO: /* was seen when its mark was folded */
    case RUN_RECKONED:
    case RUN_FOUND:
    case RUN_REACHED:
    case RUN_UNFINISHED:
        break;
    }
}

void run_fold(const struct run *run, int i, struct run_view *view)
{
    if (run->undone[i])
        return;
    struct folding f = {
        .run = run,
        .view = view,
        .at_ms = run->events[i].at_ms,
        .never = skipped_ever(run),
    };
    step_set begun = view->rig.begun;
    fold_live(&f, i);
    reckon(&f);
    see_what_is_broken(&f);
    if (f.batch || run->events[i].kind == RUN_SKIPPED) /* from when on nobody knows */
        flag_steps(&f, rig_running(&view->rig) & ~begun, RUN_STEP_SPANS);
    see_whether_over(&f);
}
