/* A random case (mix.h) as the YAML of a rig and of a procedure. */
#ifndef UNIT_MIX_WRITE_H
#define UNIT_MIX_WRITE_H

#include "mix.h"

static inline void mix_write_rig(const struct mix_draw *draw, struct text *out)
{
    text_add(out, "format: 1\nrig: made-up\ntitle: Made up\nparts:\n");
    for (int p = 0; p < draw->part_count; p++) {
        text_printf(out, "  p%d: {words: part %d, tended-at: %s, values: {", p, p,
                    p % 2 && draw->mood.places ? "there" : "here");
        for (int v = 0; v < draw->values[p]; v++)
            text_printf(out, "%s%c: %c", v ? ", " : "", 'a' + v, 'a' + v);
        text_add(out, "}}\n");
    }
    text_add(out, "stations:\n  here: {words: here, forward: 0 m}\n"
                  "  there: {words: there, forward: 3 m}\nroles:\n");
    for (int r = 0; r < draw->role_count; r++) {
        text_printf(out, "  r%d: {words: Role %d, station: here, %s%ssees: [", r, r,
                    draw->mood.helm && r == 0 ? "steers: yes, " : "",
                    draw->free[r] ? "order: free, " : "");
        for (int p = 0; p < draw->part_count; p++)
            text_printf(out, "%sp%d", p ? ", " : "", p);
        text_add(out, "]}\n");
    }
    text_add(out, "gear:\n  winch: {words: the winch}\n");
}

static inline void mix_write_values(struct text *out, unsigned values)
{
    text_add(out, "[");
    for (int v = 0, written = 0; values >> v; v++)
        if (values >> v & 1)
            text_printf(out, "%s%c", written++ ? ", " : "", 'a' + v);
    text_add(out, "]");
}

/* KEY: {part: [values], ...}, nothing where no part has any. */
static inline void mix_write_conditions(struct text *out, const char *key,
                                        const unsigned values[MIX_PARTS])
{
    int written = 0;
    for (int p = 0; p < MIX_PARTS; p++) {
        if (!values[p])
            continue;
        text_printf(out, "%s%sp%d: ", written ? ", " : key, written ? "" : ": {", p);
        written++;
        mix_write_values(out, values[p]);
    }
    text_add(out, written ? "}\n" : "");
}

static inline void mix_write_effects(struct text *out, const char *key,
                                     const int value[MIX_PARTS], int parts)
{
    int written = 0;
    for (int p = 0; p < parts; p++) {
        if (value[p] < 0)
            continue;
        text_printf(out, "%s%sp%d: %c", written ? ", " : key, written ? "" : ": {", p,
                    'a' + value[p]);
        written++;
    }
    text_add(out, written ? "}\n" : "");
}

static inline void mix_write_after(struct text *out, const struct mix_step *step)
{
    if (!(step->after | step->started))
        return;
    int written = 0;
    text_add(out, "    after: [");
    for (int t = 0; t < MIX_STEPS; t++)
        if (step->after >> t & 1)
            text_printf(out, "%ss%d", written++ ? ", " : "", t);
    for (int t = 0; t < MIX_STEPS; t++)
        if (step->started & ~step->after & 1u << t)
            text_printf(out, "%s{step: s%d, started: yes}", written++ ? ", " : "", t);
    text_add(out, "]\n");
}

/* A line held by STEP; it may need no hand at some values. */
static inline void mix_write_held(struct text *out, const char *key, int line,
                                  const struct mix_step *step)
{
    if (line < 0)
        return;
    if (step->fast_part < 0) {
        text_printf(out, "    %s: p%d\n", key, line);
        return;
    }
    text_printf(out, "    %s: {line: p%d, none-when: {p%d: ", key, line, step->fast_part);
    mix_write_values(out, step->fast_values);
    text_add(out, "}}\n");
}

static inline void mix_write_step(const struct mix_draw *draw, int s, struct text *out)
{
    const struct mix_step *step = &draw->steps[s];
    text_printf(out, "  - step: s%d\n", s);
    if (step->other >= 0)
        text_printf(out, "    roles: [r%d, r%d]\n", step->role, step->other);
    else
        text_printf(out, "    role: r%d\n", step->role);
    text_printf(out, "    at: %s\n    do: Do it.\n    takes: [1 s, 2 s, 3 s]\n%s%s%s",
                step->there ? "there" : "here", step->two_hands ? "    hands: 2\n" : "",
                step->pilot ? "    pilot: yes\n" : "",
                step->winch ? "    uses: [winch]\n" : "");
    mix_write_after(out, step);
    mix_write_conditions(out, "    wait", step->wait);
    mix_write_conditions(out, "    need", step->need);
    mix_write_effects(out, "    start", step->start, draw->part_count);
    mix_write_effects(out, "    finish", step->finish, draw->part_count);
    mix_write_held(out, "tends", step->tends, step);
    mix_write_held(out, "takes-over", step->takes, step);
    if (step->releases >= 0)
        text_printf(out, "    releases: p%d\n", step->releases);
    if (step->gives >= 0)
        text_printf(out, "    hands-over: p%d\n", step->gives);
}

static inline void mix_write_tended(const struct mix_draw *draw, struct text *out)
{
    int written = 0;
    for (int p = 0; p < draw->part_count; p++) {
        if (draw->held_by[p] < 0)
            continue;
        text_printf(out, "%s  p%d: ", written++ ? "" : "tended:\n", p);
        if (draw->fast_at_begin[p] < 0)
            text_printf(out, "r%d\n", draw->held_by[p]);
        else
            text_printf(out, "{role: r%d, none-when: {p%d: %c}}\n", draw->held_by[p], p,
                        'a' + draw->fast_at_begin[p]);
    }
}

/* Where PART mostly ends; anywhere in a wild case. */
static inline unsigned mix_goal(struct mix_draw *draw, int part)
{
    int last = -1;
    for (int s = 0; s < draw->step_count; s++)
        if (draw->steps[s].finish[part] >= 0)
            last = draw->steps[s].finish[part];
    if (last < 0 || draw->flavour == MIX_WILD || mix_once_in(draw, 6))
        return mix_some_values(draw, part);
    return 1u << last;
}

/* {p0: [a, b]} or with a second part behind it. */
static inline void mix_write_state(struct mix_draw *draw, struct text *out, bool two)
{
    int p = mix_below(draw, draw->part_count);
    unsigned values[MIX_PARTS] = {0};
    values[p] = mix_some_values(draw, p);
    if (two) {
        int q = (p + 1) % draw->part_count;
        values[q] = mix_some_values(draw, q);
    }
    int written = 0;
    for (int i = 0; i < MIX_PARTS; i++)
        if (values[i]) {
            text_printf(out, "%sp%d: ", written++ ? ", " : "{", i);
            mix_write_values(out, values[i]);
        }
    text_add(out, "}");
}

static inline void mix_write_while(struct mix_draw *draw, struct text *out)
{
    int p = mix_below(draw, draw->part_count), q = (p + 1) % draw->part_count;
    text_printf(out, "while: {p%d: ", p);
    mix_write_values(out, mix_some_values(draw, p));
    text_printf(out, "}, keep: {p%d: ", q);
    mix_write_values(out, mix_some_values(draw, q));
    text_add(out, "}");
}

static inline void mix_write_rule(struct mix_draw *draw, int number, struct text *out)
{
    int a = mix_below(draw, draw->step_count);
    int b = (a + 1 + mix_below(draw, draw->step_count - 1)) % draw->step_count;
    text_printf(out, "  - {rule: rule-%d, ", number);
    switch ((enum rule_form)mix_below(draw, RULE_FINALLY + 1)) {
    case RULE_NEVER:
        text_add(out, "never: ");
        mix_write_state(draw, out, true);
        break;
    case RULE_ALWAYS:
        text_add(out, "always: ");
        mix_write_state(draw, out, false);
        break;
    case RULE_WHILE:
        mix_write_while(draw, out);
        break;
    case RULE_WHEN:
        text_printf(
            out, "when: {%s: s%d}, need: ", mix_once_in(draw, 2) ? "start" : "finish", a);
        mix_write_state(draw, out, false);
        break;
    case RULE_BEFORE:
        text_printf(out, "before: [s%d, s%d]", a < b ? a : b, a < b ? b : a);
        break;
    case RULE_TOGETHER:
        text_printf(out, "never-together: [s%d, s%d]", a, b);
        break;
    case RULE_TENDED:
        text_printf(out, "tended: p%d, while: ", mix_below(draw, draw->part_count));
        mix_write_state(draw, out, false);
        break;
    case RULE_FINALLY:
        text_add(out, "finally: ");
        mix_write_state(draw, out, false);
        break;
    }
    text_add(out, ", hurts: crew, signal: warning, because: It hurts.}\n");
}

static inline void mix_write_procedure(struct mix_draw *draw, struct text *out)
{
    text_add(out, "format: 1\nprocedure: made-up-steps\ntitle: Steps\nfamily: care\n"
                  "rig: made-up\nrevised: 2026-11-25\nabout: Made up.\nsource: a test\n"
                  "suits: {hands: {least: 1, usual: 1}}\n");
    mix_write_conditions(out, "begin", draw->begin);
    mix_write_tended(draw, out);
    unsigned goal[MIX_PARTS] = {0};
    for (int p = 0; p < draw->part_count; p++)
        if (mix_once_in(draw, draw->flavour == MIX_WILD ? 6 : 2))
            goal[p] = mix_goal(draw, p);
    mix_write_conditions(out, "goal", goal);
    text_add(out, "steps:\n");
    for (int s = 0; s < draw->step_count; s++)
        mix_write_step(draw, s, out);
    for (int i = 0; i < draw->rule_count; i++) {
        text_add(out, i ? "" : "rules:\n");
        mix_write_rule(draw, i, out);
    }
}

#endif
