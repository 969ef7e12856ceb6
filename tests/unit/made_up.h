/* Small procedures made up by tests: the rig and the procedure as YAML texts, loaded like
 * any other.  No trade in them; only the meaning of steps. */
#ifndef UNIT_MADE_UP_H
#define UNIT_MADE_UP_H

#include "base/text.h"
#include "load/load.h"

#include <check.h>
#include <stdio.h>
#include <string.h>

/* A rig of ROLES roles r0, r1, ... at one station and PARTS parts p0, p1, ... with the
 * values a, b, c, each a line tended there; MORE is added at the end (rules, gear). */
static inline void made_up_rig(struct text *out, int roles, int parts, const char *more)
{
    text_add(out, "format: 1\nrig: made-up\ntitle: Made up\nparts:\n");
    for (int p = 0; p < parts; p++)
        text_printf(out,
                    "  p%d: {words: part %d, tended-at: here, values: {a: a, b: b, c: "
                    "c}}\n",
                    p, p);
    text_add(out, "stations:\n  here: {words: here, forward: 0 m}\n"
                  "  there: {words: there, forward: 3 m}\nroles:\n");
    for (int r = 0; r < roles; r++) {
        text_printf(out, "  r%d: {words: Role %d, station: here, sees: [", r, r);
        for (int p = 0; p < parts; p++)
            text_printf(out, "%sp%d", p ? ", " : "", p);
        text_add(out, "]}\n");
    }
    text_add(out, more);
}

/* The head of a procedure on it: every part begins with a; STEPS follows. */
static inline void made_up_head(struct text *out, int parts)
{
    text_add(out, "format: 1\nprocedure: made-up-steps\ntitle: Steps\nfamily: care\n"
                  "rig: made-up\nrevised: 2026-11-25\nabout: Made up.\nsource: a test\n"
                  "suits: {hands: {least: 1, usual: 1}}\nbegin: {");
    for (int p = 0; p < parts; p++)
        text_printf(out, "%sp%d: a", p ? ", " : "", p);
    text_add(out, "}\n");
}

/* A step of ROLE; MORE holds its other keys, each on a line of four blanks. */
static inline void made_up_step(struct text *out, const char *name, int role,
                                const char *more)
{
    text_printf(out,
                "  - step: %s\n    role: r%d\n    at: here\n    do: Do it.\n"
                "    takes: [1 s, 2 s, 3 s]\n%s",
                name, role, more);
}

/* Loads both texts; NULL, and the messages on standard error, where they are wrong. */
static inline const struct procedure *
made_up_read(const struct text *rig, const struct text *steps, struct arena *arena)
{
    struct diags *diags = diags_new(arena);
    struct load_choice choice = {.board = BOARD_STARBOARD};
    const struct rig_plan *plan = load_rig(source_new(arena, "rig", rig->at, rig->length),
                                           BOARD_STARBOARD, arena, diags);
    const struct procedure *procedure =
        load_procedure(source_new(arena, "steps", steps->at, steps->length), plan,
                       &choice, arena, diags);
    if (diags_errors(diags)) {
        struct text messages = {0};
        diags_write(diags, &messages);
        fprintf(stderr, "%s\n%s\n%s\n", messages.at, rig->at, steps->at);
        text_free(&messages);
    }
    return procedure;
}

/* The same; the test fails where they are wrong. */
static inline const struct procedure *
made_up_load(const struct text *rig, const struct text *steps, struct arena *arena)
{
    const struct procedure *procedure = made_up_read(rig, steps, arena);
    ck_assert(procedure != NULL);
    return procedure;
}

#endif
