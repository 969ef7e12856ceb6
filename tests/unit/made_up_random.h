/* Random small procedures and crews: hand-overs, joint steps, places, needs, shared gear
 * and all forms of rules among them. */
#ifndef UNIT_MADE_UP_RANDOM_H
#define UNIT_MADE_UP_RANDOM_H

#include "made_up.h"
#include "shipped.h"

enum { LINES = 2 };

static inline int one_of(unsigned *seed, int count)
{
    return (int)(shipped_random(seed) % (unsigned)count);
}

static inline void random_lines(struct text *out, unsigned *seed)
{
    static const char *const ways[] = {"tends",      "tends",      "releases",
                                       "hands-over", "takes-over", "hands-over",
                                       "takes-over"};
    int way = one_of(seed, 9), line = one_of(seed, LINES);
    if (way >= 7)
        return;
    bool fast = one_of(seed, 4) == 0 &&
                (strcmp(ways[way], "tends") == 0 || strcmp(ways[way], "takes-over") == 0);
    if (fast)
        text_printf(out, "    %s: {line: p%d, none-when: {p%d: c}}\n", ways[way], line,
                    one_of(seed, LINES));
    else
        text_printf(out, "    %s: p%d\n", ways[way], line);
}

static inline void random_step(struct text *out, unsigned *seed, int s, int roles)
{
    int role = one_of(seed, roles), other = one_of(seed, roles);
    text_printf(out, "  - step: s%d\n", s);
    if (one_of(seed, 6) == 0 && role != other)
        text_printf(out, "    roles: [r%d, r%d]\n", role, other);
    else
        text_printf(out, "    role: r%d\n", role);
    text_printf(out, "    at: %s\n    do: Do it.\n    takes: [1 s, %d s, 9 s]\n",
                one_of(seed, 5) ? "here" : "there", 1 + one_of(seed, 8));
    if (one_of(seed, 3) == 0)
        text_add(out, "    hands: 2\n");
    random_lines(out, seed);
    static const char *const when[] = {"start", "finish"};
    int which = one_of(seed, 3);
    if (which < 2)
        text_printf(out, "    %s: {p%d: %c}\n", when[which], one_of(seed, LINES),
                    'a' + one_of(seed, 3));
    if (one_of(seed, 4) == 0)
        text_printf(out, "    wait: {p%d: [b, c]}\n", one_of(seed, LINES));
    if (one_of(seed, 6) == 0)
        text_printf(out, "    need: {p%d: [a, b]}\n", one_of(seed, LINES));
    if (s && one_of(seed, 3) == 0)
        text_printf(out, "    after: [s%d]\n", one_of(seed, s));
    else if (s && one_of(seed, 5) == 0)
        text_printf(out, "    after: [{step: s%d, started: yes}]\n", one_of(seed, s));
    if (one_of(seed, 4) == 0)
        text_add(out, "    uses: [winch]\n");
}

static inline void random_rule(struct text *out, unsigned *seed, int steps)
{
    int a = one_of(seed, steps), b = one_of(seed, steps);
    b = b == a ? (a + 1) % steps : b;
    text_add(out, "rules:\n  - {rule: the-rule, ");
    switch (one_of(seed, 9)) {
    case 0:
        text_add(out, "never: {p0: c, p1: a}");
        break;
    case 1:
        text_add(out, "always: {p0: [a, b]}");
        break;
    case 2:
        text_add(out, "while: {p0: b}, keep: {p1: [a, b]}");
        break;
    case 3:
        text_printf(out, "when: {start: s%d}, need: {p0: [a, c]}", a);
        break;
    case 4:
        text_printf(out, "before: [s%d, s%d]", a, b);
        break;
    case 5:
        text_printf(out, "never-together: [s%d, s%d]", a, b);
        break;
    case 6:
        text_add(out, "tended: p0, while: {p0: b}");
        break;
    case 7: /* broken before anybody moves, unless it is held */
        text_add(out, "tended: p0, while: {p0: a}");
        break;
    default:
        text_add(out, "finally: {p0: [b, c]}");
        break;
    }
    text_add(out, ", hurts: crew, signal: warning, because: It hurts.}\n");
}

static inline const struct crew *random_crew(struct arena *arena, unsigned *seed,
                                             int roles)
{
    int hands = 1 + one_of(seed, 3);
    struct crew *crew = arena_alloc(arena, sizeof *crew);
    struct hand *list = arena_alloc(arena, (size_t)hands * sizeof *list);
    for (int h = 0; h < hands; h++) {
        struct knows *knows = arena_alloc(arena, (size_t)roles * sizeof *knows);
        list[h] = (struct hand){.name = arena_printf(arena, "Hand %c", 'A' + h),
                                .knows = knows,
                                .aboard = true,
                                .pace_m_s = 1,
                                .limits = ""};
        for (int r = 0; r < roles; r++)
            if (one_of(seed, 4))
                knows[list[h].knows_count++] =
                    (struct knows){.role = arena_printf(arena, "r%d", r),
                                   .grade = (enum grade)(1 + one_of(seed, 3))};
    }
    *crew = (struct crew){.name = "Made up", .hands = list, .hand_count = (uint8_t)hands};
    return crew;
}

static inline const struct procedure *random_procedure_of(struct arena *arena,
                                                          unsigned *seed, int roles,
                                                          int count, const char **text)
{
    struct text rig = {0}, steps = {0};
    made_up_rig(&rig, roles, LINES, "gear:\n  winch: {words: the winch}\n");
    made_up_head(&steps, LINES);
    if (one_of(seed, 3) == 0)
        text_add(&steps, "tended: {p0: {role: r0}}\n");
    text_add(&steps, "goal: {p1: [a, b]}\nsteps:\n");
    for (int s = 0; s < count; s++)
        random_step(&steps, seed, s, roles);
    random_rule(&steps, seed, count);
    struct diags *diags = diags_new(arena);
    struct load_choice choice = {.board = BOARD_STARBOARD};
    const struct rig_plan *plan = load_rig(source_new(arena, "rig", rig.at, rig.length),
                                           BOARD_STARBOARD, arena, diags);
    ck_assert(plan != NULL);
    const struct procedure *procedure = load_procedure(
        source_new(arena, "steps", steps.at, steps.length), plan, &choice, arena, diags);
    *text = arena_copy(arena, steps.at, steps.length);
    text_free(&rig);
    text_free(&steps);
    return procedure; /* NULL where a wait can never hold, or a rule cannot break */
}

static inline const struct procedure *
random_procedure(struct arena *arena, unsigned *seed, int roles, const char **text)
{
    int count = 3 + one_of(seed, 3);
    return random_procedure_of(arena, seed, roles, count, text);
}

#endif
