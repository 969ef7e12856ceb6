/* From a conflict to a clause.  The trail is walked back from the conflict; what was made
 * true at the conflict's level is replaced by its explanation until one literal of that
 * level is left (the first that alone led there).  What hangs on the assumptions is
 * replaced all the way, so that a clause names the assumptions and nothing in between:
 * it stays true when they change. */
#include "bill/kernel_parts.h"

static const float CLAUSE_DECAY = 0.999F;

static const struct kernel_entry *entry_at(const struct kernel *kernel, int32_t e)
{
    return &kernel->trail[e];
}

static struct kernel_literal literal_of(const struct kernel *kernel, int32_t e)
{
    return (struct kernel_literal){kernel->trail[e].side, kernel->marks[e].bound};
}

static void note(struct kernel *kernel, int32_t e, int32_t kind, int32_t bound)
{
    if (kernel->marks[e].kind == MARK_NONE) {
        kernel->marked = kernel_more_room(kernel, kernel->marked, kernel->marked_count,
                                          &kernel->marked_room, sizeof *kernel->marked);
        kernel->marked[kernel->marked_count++] = e;
    }
    kernel->marks[e] = (struct kernel_mark){bound, kind};
}

/* Keeps what is in why and not true for good; gives how much of it is new at LEVEL. */
static int32_t keep_why(struct kernel *kernel, int32_t level)
{
    int32_t new = 0;
    for (int32_t i = 0; i < kernel->why_count; i++) {
        struct kernel_literal literal = kernel->why[i];
        if (kernel->root[literal.side] >= literal.bound)
            continue;
        int32_t e = kernel_entry_of(kernel, literal);
        struct kernel_mark *mark = &kernel->marks[e];
        if (mark->kind == MARK_KEPT) {
            mark->bound = mark->bound > literal.bound ? mark->bound : literal.bound;
            continue;
        }
        note(kernel, e, MARK_KEPT, literal.bound);
        new += entry_at(kernel, e)->level == level;
    }
    kernel->why_count = 0;
    return new;
}

/* Puts the explanation of E in its place, which is then as good as kept; gives what is
 * new of it at LEVEL. */
static int32_t replace(struct kernel *kernel, int32_t e, int32_t level)
{
    const struct kernel_entry *entry = entry_at(kernel, e);
    if (entry->reason.kind == REASON_CLAUSE)
        kernel_bump_clause(kernel, entry->reason.which);
    kernel_explain(kernel, e, kernel->marks[e].bound);
    kernel->marks[e].kind = MARK_IMPLIED;
    return keep_why(kernel, level);
}

static int32_t level_of_why(const struct kernel *kernel)
{
    int32_t level = 0;
    for (int32_t i = 0; i < kernel->why_count; i++) {
        struct kernel_literal literal = kernel->why[i];
        if (kernel->root[literal.side] >= literal.bound)
            continue;
        int32_t of = entry_at(kernel, kernel_entry_of(kernel, literal))->level;
        level = of > level ? of : level;
    }
    return level;
}

/* Walks back to the one literal left at LEVEL; gives its entry. */
static int32_t find_first_alone(struct kernel *kernel, int32_t level)
{
    int32_t open = keep_why(kernel, level), e = kernel->trail_count;
    for (;;) {
        do
            e--;
        while (kernel->marks[e].kind != MARK_KEPT || entry_at(kernel, e)->level != level);
        kernel_bump_literal(kernel, literal_of(kernel, e));
        if (open == 1)
            return e;
        open += replace(kernel, e, level) - 1;
    }
}

/* What is kept at the levels of the assumptions becomes the assumptions themselves. */
static void replace_assumed(struct kernel *kernel)
{
    int32_t levels = kernel->assumed_count;
    if (levels > kernel->levels)
        levels = kernel->levels;
    int32_t e =
        levels < kernel->levels ? kernel->level_start[levels] : kernel->trail_count;
    while (levels && e--)
        if (kernel->marks[e].kind == MARK_KEPT &&
            entry_at(kernel, e)->reason.kind != REASON_DECISION)
            replace(kernel, e, -1);
}

static bool is_implied(struct kernel *kernel, int32_t e, int32_t bound, int32_t depth);

/* Whether the explanation of E holds by what is kept. */
static bool is_explained(struct kernel *kernel, int32_t e, int32_t bound, int32_t depth)
{
    int32_t base = kernel->why_count;
    kernel_explain(kernel, e, bound);
    bool implied = true;
    for (int32_t i = base; i < kernel->why_count && implied; i++) {
        struct kernel_literal literal = kernel->why[i];
        if (kernel->root[literal.side] >= literal.bound)
            continue;
        int32_t reason = kernel_entry_of(kernel, literal);
        assert(reason < e); /* older only: otherwise two could excuse each other */
        const struct kernel_mark *mark = &kernel->marks[reason];
        implied = (mark->kind == MARK_KEPT && mark->bound >= literal.bound) ||
                  is_implied(kernel, reason, literal.bound, depth + 1);
    }
    kernel->why_count = base;
    return implied;
}

enum { DEPTH_MAX = 200 };

/* The same with a memory; only levels that are in the clause anyway can be implied. */
static bool is_implied(struct kernel *kernel, int32_t e, int32_t bound, int32_t depth)
{
    const struct kernel_entry *entry = entry_at(kernel, e);
    struct kernel_mark *mark = &kernel->marks[e];
    if (mark->kind == MARK_IMPLIED && mark->bound >= bound)
        return true;
    if (mark->kind == MARK_NEEDED && mark->bound <= bound)
        return false;
    if (entry->reason.kind == REASON_DECISION || depth > DEPTH_MAX ||
        kernel->level_seen[entry->level] != kernel->level_stamp)
        return false;
    bool implied = is_explained(kernel, e, bound, depth);
    mark = &kernel->marks[e];
    if (mark->kind != MARK_KEPT)
        note(kernel, e, implied ? MARK_IMPLIED : MARK_NEEDED, bound);
    return implied;
}

static void make_mark_room(struct kernel *kernel)
{
    while (kernel->mark_room < kernel->trail_count)
        kernel->marks = kernel_more_room(kernel, kernel->marks, kernel->mark_room,
                                         &kernel->mark_room, sizeof *kernel->marks);
    while (kernel->level_seen_room <= kernel->levels)
        kernel->level_seen =
            kernel_more_room(kernel, kernel->level_seen, kernel->level_seen_room,
                             &kernel->level_seen_room, sizeof *kernel->level_seen);
}

static void forget_marks(struct kernel *kernel)
{
    while (kernel->marked_count)
        kernel->marks[kernel->marked[--kernel->marked_count]].kind = MARK_NONE;
}

/* Stamps the levels of what is kept; gives their number. */
static int32_t stamp_levels(struct kernel *kernel)
{
    int32_t count = 0;
    kernel->level_stamp++;
    for (int32_t i = 0; i < kernel->marked_count; i++) {
        int32_t e = kernel->marked[i], level = entry_at(kernel, e)->level;
        if (kernel->marks[e].kind != MARK_KEPT ||
            kernel->level_seen[level] == kernel->level_stamp)
            continue;
        kernel->level_seen[level] = kernel->level_stamp;
        count++;
    }
    return count;
}

/* Lets go of what the rest implies.  Nothing is implied by something younger. */
static void minimise(struct kernel *kernel)
{
    stamp_levels(kernel);
    int32_t count = kernel->marked_count; /* notes made on the way come behind */
    for (int32_t i = 0; i < count; i++) {
        int32_t e = kernel->marked[i];
        if (kernel->marks[e].kind == MARK_KEPT &&
            entry_at(kernel, e)->reason.kind != REASON_DECISION &&
            is_explained(kernel, e, kernel->marks[e].bound, 0))
            kernel->marks[e].kind = MARK_IMPLIED;
    }
}

/* Whether a younger kept literal of the same side says more. */
static bool is_said_by_younger(const struct kernel *kernel, int32_t e)
{
    for (int32_t f = kernel->head[entry_at(kernel, e)->side]; f > e;
         f = entry_at(kernel, f)->previous)
        if (kernel->marks[f].kind == MARK_KEPT)
            return true;
    return false;
}

static void add_to_lesson(struct kernel *kernel, struct kernel_literal literal)
{
    kernel->lesson = kernel_more_room(kernel, kernel->lesson, kernel->lesson_count,
                                      &kernel->lesson_room, sizeof *kernel->lesson);
    kernel->lesson[kernel->lesson_count++] = literal;
}

/* The kept literals as a clause: ALONE first, then one of the youngest level of the rest;
 * gives that level. */
static int32_t make_lesson(struct kernel *kernel, int32_t alone)
{
    int32_t youngest = 0;
    kernel->lesson_count = 0;
    add_to_lesson(kernel, kernel_not(literal_of(kernel, alone)));
    for (int32_t i = 0; i < kernel->marked_count; i++) {
        int32_t e = kernel->marked[i], level = entry_at(kernel, e)->level;
        if (e == alone || kernel->marks[e].kind != MARK_KEPT ||
            is_said_by_younger(kernel, e))
            continue;
        kernel_bump_literal(kernel, literal_of(kernel, e));
        add_to_lesson(kernel, kernel_not(literal_of(kernel, e)));
        if (level <= youngest)
            continue;
        youngest = level;
        struct kernel_literal swap = kernel->lesson[1];
        kernel->lesson[1] = kernel->lesson[kernel->lesson_count - 1];
        kernel->lesson[kernel->lesson_count - 1] = swap;
    }
    return youngest;
}

/* Adds the lesson and makes its first literal true, the only one that is not false. */
static void add_lesson(struct kernel *kernel, int32_t levels)
{
    if (kernel->options.learned)
        kernel->options.learned(kernel->options.context, kernel->lesson,
                                kernel->lesson_count);
    struct kernel_reason reason = {.kind = REASON_DECISION};
    if (kernel->lesson_count > 1) {
        reason.kind = REASON_CLAUSE;
        reason.which =
            kernel_store_clause(kernel, kernel->lesson, kernel->lesson_count, levels);
    }
    bool sound = kernel_set(kernel, kernel->lesson[0], reason);
    assert(sound || kernel->levels == 0);
    kernel->refuted = kernel->refuted || !sound;
}

/* One clashing assumption: the target raises the lower bound, the others are the core. */
static void add_to_core(struct kernel *kernel, int32_t level, struct kernel_literal used)
{
    add_to_lesson(kernel, kernel_not(used));
    if (kernel->has_target && level == kernel->assumed_count) {
        if (kernel->lower < 1 - used.bound)
            kernel->lower = 1 - used.bound;
        return;
    }
    kernel->core = kernel_more_room(kernel, kernel->core, kernel->core_count,
                                    &kernel->core_room, sizeof *kernel->core);
    kernel->core[kernel->core_count++] = kernel->assumed[level - 1];
}

/* Everything kept hangs on assumptions: they clash, together with what the lesson holds
 * already. */
static void learn_core(struct kernel *kernel)
{
    replace_assumed(kernel);
    int32_t have = kernel->lesson_count;
    for (int32_t i = 0; i < kernel->marked_count; i++) {
        int32_t e = kernel->marked[i];
        struct kernel_literal used = literal_of(kernel, e);
        bool is_said = have && (kernel->lesson[0].side ^ 1) == used.side;
        if (kernel->marks[e].kind == MARK_KEPT && !is_said &&
            !is_said_by_younger(kernel, e))
            add_to_core(kernel, entry_at(kernel, e)->level, used);
    }
    forget_marks(kernel);
    kernel_back_to(kernel, 0);
    if (kernel->lesson_count == 0)
        kernel->refuted = true;
    else if (kernel->lesson_count == 1)
        add_lesson(kernel, 1);
    else
        kernel_store_clause(kernel, kernel->lesson, kernel->lesson_count, 1);
}

void kernel_learn_core(struct kernel *kernel, int32_t assumption)
{
    make_mark_room(kernel);
    struct kernel_literal clashing = kernel->assumed[assumption];
    kernel->lesson_count = kernel->core_count = kernel->why_count = 0;
    kernel_why(kernel, kernel_not(clashing));
    keep_why(kernel, -1);
    add_to_core(kernel, assumption + 1, clashing);
    learn_core(kernel);
}

bool kernel_learn(struct kernel *kernel)
{
    kernel->lesson_count = kernel->core_count = 0;
    if (kernel->levels == 0) {
        kernel->refuted = true;
        return false;
    }
    int32_t level = level_of_why(kernel);
    make_mark_room(kernel);
    if (level <= kernel->assumed_count) {
        keep_why(kernel, -1);
        learn_core(kernel);
        return false;
    }
    int32_t alone = find_first_alone(kernel, level);
    replace_assumed(kernel);
    minimise(kernel);
    int32_t back = make_lesson(kernel, alone), levels = stamp_levels(kernel);
    forget_marks(kernel);
    kernel_back_to(kernel, back);
    add_lesson(kernel, levels);
    kernel->clause_step /= CLAUSE_DECAY;
    kernel_decay(kernel);
    return !kernel->refuted;
}
