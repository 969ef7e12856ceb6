/* A shipped procedure run live, event by event; what the logbook would store is kept. */
#ifndef UNIT_RUN_WORLD_H
#define UNIT_RUN_WORLD_H

#include "run_view.h"
#include "shipped.h"

#include "run/run.h"

struct world {
    struct arena *arena;
    const struct procedure *procedure;
    struct bill *bill;
    struct rig *rig;
    struct run *run;
    struct run_out *out;
    struct run_event *stored;
    size_t stored_count;
    int64_t now_ms;
};

enum { STORED_MAX = 8192 };

static inline void open_world(struct world *w, const char *name, enum run_mode mode)
{
    *w = (struct world){.arena = arena_new()};
    struct library *library = shipped_library(w->arena);
    w->procedure = shipped_named(library, name, BOARD_STARBOARD, w->arena);
    w->bill = arena_alloc(w->arena, sizeof *w->bill);
    w->rig = arena_alloc(w->arena, sizeof *w->rig);
    w->run = arena_alloc(w->arena, sizeof *w->run);
    w->out = arena_alloc(w->arena, sizeof *w->out);
    w->stored = arena_alloc(w->arena, STORED_MAX * sizeof *w->stored);
    struct bill_wish wish;
    struct bill_why why;
    bill_wish_start(&wish);
    wish.pilot = w->procedure->pilot_needed;
    const char *crew = strstr(name, "chute")        ? "dinghy"
                       : w->procedure->pilot_needed ? "pair"
                                                    : "crew";
    ck_assert_int_eq(
        bill_make(w->procedure, shipped_crew(crew, NULL, w->arena), &wish, w->bill, &why),
        BILL_FOUND);
    bill_rig(w->bill, w->procedure, w->rig);
    run_start(w->run, w->rig, w->bill, mode);
}

static inline void close_world(struct world *w)
{
    arena_free(w->arena);
}

static inline enum run_taken give(struct world *w, enum run_kind kind, int step,
                                  int value)
{
    struct run_event event = {.at_ms = w->now_ms,
                              .kind = (uint8_t)kind,
                              .step = (uint8_t)step,
                              .value = (int16_t)value};
    if (kind == RUN_NOTED)
        strcpy(event.text, "a note");
    enum run_taken taken = run_apply(w->run, &event, w->out);
    if (taken == RUN_TAKEN)
        for (int i = 0; i < w->out->count; i++) {
            ck_assert_uint_lt(w->stored_count, STORED_MAX);
            w->stored[w->stored_count++] = w->out->at[i];
        }
    return taken;
}

static inline int named(const struct world *w, const char *name)
{
    int s = procedure_step(w->procedure, name);
    ck_assert_msg(s >= 0, "%s", name);
    return s;
}

static inline enum run_taken made(struct world *w, const char *name)
{
    w->now_ms += 1000;
    return give(w, RUN_MADE, named(w, name), 0);
}

static inline void go(struct world *w)
{
    ck_assert_int_eq(give(w, RUN_GO, 0, 0), RUN_TAKEN);
}

static inline bool is_done(const struct world *w, const char *name)
{
    return w->run->now.rig.done >> named(w, name) & 1;
}

static inline bool is_running(const struct world *w, const char *name)
{
    return rig_running(&w->run->now.rig) >> named(w, name) & 1;
}

static inline uint8_t flags_of(const struct world *w, const char *name)
{
    return w->run->now.steps[named(w, name)].flags;
}

static inline void jibe(struct world *w, const char *until)
{
    open_world(w, "dip-pole-jibe", RUN_DRILL);
    go(w);
    while (!until || !is_running(w, until)) {
        int due = run_due(w->run);
        if (due < 0 || w->run->now.phase == RUN_OVER)
            break;
        w->now_ms += 1000;
        ck_assert_int_eq(give(w, RUN_MADE, due, 0), RUN_TAKEN);
    }
}

#endif
