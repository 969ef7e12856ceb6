/* Capacity over time by the time table: the demand of the compulsory parts (from the
 * latest start to the earliest end) is summed up, and no task may be where it does not
 * fit on top.  Each push is past one moment, so that it is explained by that moment. */
#include "bill/kernel_parts.h"

static int32_t earliest_start(const struct kernel *kernel, const struct kernel_task *task)
{
    return kernel_lowest(kernel, task->start) + task->start_delay;
}

static int32_t latest_start(const struct kernel *kernel, const struct kernel_task *task)
{
    return kernel_highest(kernel, task->start) + task->start_delay;
}

static int32_t earliest_end(const struct kernel *kernel, const struct kernel_task *task)
{
    return kernel_lowest(kernel, task->end) + task->end_delay;
}

static int32_t latest_end(const struct kernel *kernel, const struct kernel_task *task)
{
    return kernel_highest(kernel, task->end) + task->end_delay;
}

/* The order changes little from call to call, so inserting is quick. */
static void sort(int32_t *order, int32_t count, const int32_t *key)
{
    for (int32_t i = 1; i < count; i++) {
        int32_t item = order[i], j = i;
        for (; j > 0 && key[order[j - 1]] > key[item]; j--)
            order[j] = order[j - 1];
        order[j] = item;
    }
}

/* Compulsory parts into part_from and part_to; gives their number. */
static int32_t find_parts(struct kernel *kernel, const struct kernel_constraint *at)
{
    int32_t count = 0;
    for (int32_t i = 0; i < at->count; i++) {
        const struct kernel_task *task = &at->tasks[i];
        int32_t from = latest_start(kernel, task), to = earliest_end(kernel, task);
        bool is_part = from < to && kernel_is_true(kernel, task->guard);
        kernel->part_from[i] = is_part ? from : INT32_MAX;
        kernel->part_to[i] = is_part ? to : INT32_MAX;
        count += is_part;
    }
    sort(at->by_from, at->count, kernel->part_from);
    sort(at->by_to, at->count, kernel->part_to);
    return count;
}

/* The stretches in which some task does not fit on top, in order of time; gives their
 * number. */
static int32_t find_stretches(struct kernel *kernel, const struct kernel_constraint *at,
                              int32_t parts)
{
    int32_t count = 0, height = 0, i = 0, j = 0, from = 0;
    while (j < parts) {
        int32_t moment = kernel->part_to[at->by_to[j]];
        if (i < parts && kernel->part_from[at->by_from[i]] < moment)
            moment = kernel->part_from[at->by_from[i]];
        if (height > 0 && height + at->largest > at->capacity)
            kernel->stretches[count++] = (struct kernel_stretch){from, moment, height};
        from = moment;
        while (i < parts && kernel->part_from[at->by_from[i]] == moment)
            height += at->tasks[at->by_from[i++]].demand;
        while (j < parts && kernel->part_to[at->by_to[j]] == moment)
            height -= at->tasks[at->by_to[j++]].demand;
    }
    return count;
}

static bool fail_at(struct kernel *kernel, const struct kernel_constraint *at,
                    int32_t moment)
{
    kernel->why_count = 0;
    bool found = kernel_capacity_explain(kernel, at, moment, -1, at->capacity,
                                         kernel->trail_count);
    assert(found);
    (void)found;
    return false;
}

/* What a task meets: the stretches found, and itself. */
struct push {
    const struct kernel_constraint *at;
    const struct kernel_task *task;
    struct kernel_reason reason;
    int32_t part_from, part_to; /* its own compulsory part as counted, or nothing */
    int32_t count;              /* stretches */
};

static bool is_too_high(const struct push *push, const struct kernel_stretch *stretch)
{
    if (stretch->height + push->task->demand <= push->at->capacity)
        return false;
    return stretch->from < push->part_from || stretch->from >= push->part_to;
}

/* A task that may be left out is, where its compulsory part does not fit. */
static bool push_out(struct kernel *kernel, struct push *push)
{
    int32_t from = latest_start(kernel, push->task),
            to = earliest_end(kernel, push->task);
    for (int32_t i = 0; i < push->count; i++) {
        const struct kernel_stretch *stretch = &kernel->stretches[i];
        int32_t moment = stretch->from > from ? stretch->from : from;
        if (moment >= stretch->to || moment >= to || !is_too_high(push, stretch))
            continue;
        push->reason.kind = REASON_LEFT_OUT;
        push->reason.point = moment;
        return kernel_set(kernel, kernel_not(push->task->guard), push->reason);
    }
    return true;
}

/* Past the stretch, one moment at a time as the end is carried along. */
static bool push_past(struct kernel *kernel, struct push *push,
                      const struct kernel_stretch *stretch)
{
    const struct kernel_task *task = push->task;
    for (;;) {
        int32_t past = earliest_end(kernel, task);
        past = past < stretch->to ? past : stretch->to;
        if (past <= stretch->from || past <= earliest_start(kernel, task))
            return true;
        push->reason.point = past - 1;
        if (!kernel_set(kernel, kernel_at_least(task->start, past - task->start_delay),
                        push->reason))
            return false;
    }
}

static bool push_later(struct kernel *kernel, struct push *push)
{
    const struct kernel_stretch *at = kernel->stretches;
    int32_t i = 0, first = earliest_start(kernel, push->task);
    int32_t end = earliest_end(kernel, push->task);
    while (i < push->count && at[i].to <= first)
        i++;
    for (; i < push->count && at[i].from < end; i++) {
        if (!is_too_high(push, &at[i]))
            continue;
        if (!push_past(kernel, push, &at[i]))
            return false;
        end = earliest_end(kernel, push->task);
    }
    return true;
}

static bool push_before(struct kernel *kernel, struct push *push,
                        const struct kernel_stretch *stretch)
{
    const struct kernel_task *task = push->task;
    for (;;) {
        int32_t back = latest_start(kernel, task);
        back = back > stretch->from ? back : stretch->from;
        if (back >= stretch->to || back >= latest_end(kernel, task))
            return true;
        push->reason.point = back;
        if (!kernel_set(kernel, kernel_at_most(task->end, back - task->end_delay),
                        push->reason))
            return false;
    }
}

static bool push_earlier(struct kernel *kernel, struct push *push)
{
    const struct kernel_stretch *at = kernel->stretches;
    int32_t i = push->count - 1, last = latest_end(kernel, push->task);
    int32_t start = latest_start(kernel, push->task);
    while (i >= 0 && at[i].from >= last)
        i--;
    for (; i >= 0 && at[i].to > start; i--) {
        if (!is_too_high(push, &at[i]))
            continue;
        if (!push_before(kernel, push, &at[i]))
            return false;
        start = latest_start(kernel, push->task);
    }
    return true;
}

static bool push_task(struct kernel *kernel, struct push *push)
{
    if (kernel_is_false(kernel, push->task->guard))
        return true;
    if (!kernel_is_true(kernel, push->task->guard))
        return push_out(kernel, push);
    return push_later(kernel, push) && push_earlier(kernel, push);
}

/* A task without choice is all compulsory part: nothing to push. */
static bool is_placed(const struct kernel *kernel, const struct kernel_task *task)
{
    return kernel_is_true(kernel, task->guard) &&
           earliest_start(kernel, task) == latest_start(kernel, task) &&
           earliest_end(kernel, task) == latest_end(kernel, task);
}

bool kernel_capacity_propagate(struct kernel *kernel, int32_t constraint)
{
    const struct kernel_constraint *at = &kernel->constraints[constraint];
    int32_t parts = find_parts(kernel, at), highest = 0;
    int32_t count = find_stretches(kernel, at, parts);
    for (int32_t i = 0; i < count; i++) {
        int32_t height = kernel->stretches[i].height;
        if (height > at->capacity)
            return fail_at(kernel, at, kernel->stretches[i].from);
        highest = height > highest ? height : highest;
    }
    for (int32_t i = 0; i < at->count; i++) {
        if (at->tasks[i].demand == 0 || highest + at->tasks[i].demand <= at->capacity ||
            is_placed(kernel, &at->tasks[i]))
            continue;
        struct push push = {
            at,
            &at->tasks[i],
            {.kind = REASON_CAPACITY, .which = constraint, .item = (int16_t)i},
            kernel->part_from[i],
            kernel->part_to[i],
            count};
        if (!push_task(kernel, &push))
            return false;
    }
    return true;
}

/* The age of what makes the task compulsory at the moment: its youngest entry, or -2. */
static int32_t age_of_part(const struct kernel *kernel, const struct kernel_task *task,
                           int32_t moment, int32_t before)
{
    const struct kernel_literal needs[3] = {
        task->guard, kernel_at_most(task->start, moment - task->start_delay),
        kernel_at_least(task->end, moment + 1 - task->end_delay)};
    int32_t age = -1;
    for (int i = 0; i < 3; i++)
        if (!kernel_is_true(kernel, needs[i]))
            return -2;
    for (int i = 0; i < 3; i++) {
        int32_t e = kernel_entry_before(kernel, needs[i], before);
        if (e == -2)
            return -2;
        age = e > age ? e : age;
    }
    return age;
}

/* Tasks compulsory at the moment into helpers, oldest first; gives their number. */
static int32_t find_helpers(struct kernel *kernel, const struct kernel_constraint *from,
                            int32_t moment, int32_t except, int32_t before)
{
    struct kernel_helper *helpers = kernel->helpers;
    int32_t count = 0;
    for (int32_t i = 0; i < from->count; i++) {
        if (i == except || from->tasks[i].demand == 0)
            continue;
        int32_t age = age_of_part(kernel, &from->tasks[i], moment, before);
        if (age == -2)
            continue;
        int32_t j = count++;
        for (; j > 0 && helpers[j - 1].age > age; j--)
            helpers[j] = helpers[j - 1];
        helpers[j] = (struct kernel_helper){i, age};
    }
    return count;
}

static void why_part(struct kernel *kernel, const struct kernel_task *task,
                     int32_t moment)
{
    kernel_why(kernel, task->guard);
    kernel_why(kernel, kernel_at_most(task->start, moment - task->start_delay));
    kernel_why(kernel, kernel_at_least(task->end, moment + 1 - task->end_delay));
}

bool kernel_capacity_explain(struct kernel *kernel, const struct kernel_constraint *from,
                             int32_t moment, int32_t except, int32_t enough,
                             int32_t before)
{
    int32_t found = find_helpers(kernel, from, moment, except, before), count = 0,
            sum = 0;
    while (count < found && sum <= enough)
        sum += from->tasks[kernel->helpers[count++].item].demand;
    if (sum <= enough)
        return false;
    while (count--) { /* the older ones may do without some of the younger */
        const struct kernel_task *task = &from->tasks[kernel->helpers[count].item];
        if (sum - task->demand > enough)
            sum -= task->demand;
        else
            why_part(kernel, task, moment);
    }
    return true;
}
