/* The search: runs between restarts, each towards a target for what is minimised, from a
 * little under the best solution down to the lower bound itself.  A target that is
 * refuted raises the lower bound; what is learned on the way holds for all targets. */
#include "bill/kernel_parts.h"

#include <string.h>

enum {
    BY_START_EVERY = 4, /* of the runs, one goes by the starts */
    BY_START_CONFLICTS = 60,
    PROBE_EVERY = 16 /* of the runs, one asks for the lower bound itself */
};

/* 1 1 2 1 1 2 4 1 1 2 1 1 2 4 8 ... (Luby, Sinclair, Zuckerman 1993), from run 0 on. */
static int64_t luby(int64_t run)
{
    int64_t size = 1, last = 0;
    while (size < run + 1) {
        size = 2 * size + 1;
        last++;
    }
    while (size - 1 != run) {
        size = (size - 1) / 2;
        last--;
        run %= size;
    }
    return (int64_t)1 << last;
}

static bool minimises(const struct kernel *kernel)
{
    return kernel->objective != KERNEL_ZERO;
}

static void drop_target(struct kernel *kernel)
{
    if (kernel->has_target)
        kernel->assumed_count--;
    kernel->has_target = false;
}

static void aim(struct kernel *kernel, int32_t target)
{
    kernel->assumed = kernel_more_room(kernel, kernel->assumed, kernel->assumed_count,
                                       &kernel->assumed_room, sizeof *kernel->assumed);
    kernel->assumed[kernel->assumed_count++] = kernel_at_most(kernel->objective, target);
    kernel->has_target = true;
    kernel->target = target;
}

/* The stride below the best solution doubles while solutions come and halves while runs
 * end without one. */
static void choose_target(struct kernel *kernel)
{
    drop_target(kernel);
    if (!kernel->has_best || !minimises(kernel))
        return;
    int32_t next = kernel->best[kernel->objective] - 1;
    if (kernel->stride > next - kernel->lower)
        kernel->stride = next - kernel->lower;
    bool probes = kernel->figures.restarts % PROBE_EVERY == PROBE_EVERY - 1;
    aim(kernel, probes ? kernel->lower : next - kernel->stride);
}

static void answer(struct kernel *kernel, enum kernel_verdict verdict)
{
    drop_target(kernel);
    kernel->answered = true;
    kernel->verdict = verdict;
}

/* Nothing better than the best solution is possible, or nothing at all. */
static bool is_closed(const struct kernel *kernel)
{
    return kernel->has_best &&
           (!minimises(kernel) || kernel->lower >= kernel->best[kernel->objective]);
}

/* Everything at the root; true where that is the answer already. */
static bool settle(struct kernel *kernel)
{
    kernel_back_to(kernel, 0);
    if (!kernel->refuted && !kernel_propagate(kernel))
        kernel->refuted = true;
    if (kernel->refuted) {
        if (!kernel->has_best)
            kernel->core_count = 0;
        answer(kernel, kernel->has_best ? KERNEL_PROVED : KERNEL_INFEASIBLE);
        return true;
    }
    kernel_settle_root(kernel);
    int32_t lowest = kernel_lowest(kernel, kernel->objective);
    kernel->lower = kernel->lower > lowest ? kernel->lower : lowest;
    if (!is_closed(kernel))
        return false;
    answer(kernel, KERNEL_PROVED);
    return true;
}

static bool begin_run(struct kernel *kernel)
{
    if (settle(kernel))
        return false;
    kernel_clear_out(kernel);
    if (!kernel->energy && kernel->has_best &&
        kernel->figures.conflicts >= kernel->options.energy_after)
        kernel_find_energy(kernel);
    choose_target(kernel);
    int64_t run = kernel->figures.restarts++;
    kernel->by_start = run % BY_START_EVERY == 0;
    int64_t conflicts = kernel->by_start ? BY_START_CONFLICTS
                                         : luby(run - run / BY_START_EVERY - 1) *
                                               kernel->options.run_conflicts;
    kernel->run_end = kernel->figures.conflicts + conflicts;
    kernel->running = true;
    return true;
}

/* The assumptions one level each, then a choice; false where everything is fixed, or an
 * assumption is false (which: the core). */
static enum kernel_step decide(struct kernel *kernel)
{
    struct kernel_literal next;
    if (kernel->levels < kernel->assumed_count) {
        next = kernel->assumed[kernel->levels];
        if (kernel_is_false(kernel, next)) {
            kernel_learn_core(kernel, kernel->levels);
            return STEP_REFUTED;
        }
    } else {
        if (!kernel_choose(kernel, &next))
            return STEP_SOLUTION;
        kernel->figures.decisions++;
    }
    kernel_decide(kernel, next);
    return STEP_DECIDED;
}

static enum kernel_step step(struct kernel *kernel)
{
    if (kernel->figures.conflicts + kernel->figures.solutions >= kernel->budget_end)
        return STEP_PAUSED;
    if (!kernel_propagate(kernel)) {
        kernel->figures.conflicts++;
        return kernel_learn(kernel) ? STEP_DECIDED : STEP_REFUTED;
    }
    if (kernel->levels == 0)
        kernel_settle_root(kernel);
    if (kernel->figures.conflicts >= kernel->run_end)
        return STEP_OVER;
    return decide(kernel);
}

static void keep_solution(struct kernel *kernel)
{
    int32_t before = kernel->has_best ? kernel->best[kernel->objective] : 0;
    for (int32_t v = 0; v < kernel->variables; v++)
        kernel->best[v] = kernel->phase[v] = kernel_lowest(kernel, v);
    int32_t now = kernel->best[kernel->objective];
    kernel->stride = kernel->has_best ? 2 * (before - now) : (now - kernel->lower) / 4;
    kernel->has_best = true;
    kernel->figures.solutions++;
}

/* What the end of a run means for the next one. */
static void end_run(struct kernel *kernel, enum kernel_step how)
{
    kernel->running = false;
    if (how == STEP_SOLUTION) {
        keep_solution(kernel);
    } else if (how == STEP_OVER) {
        kernel->stride /= 2;
    } else if (!kernel->refuted &&
               !(kernel->has_target && kernel->lower > kernel->target)) {
        answer(kernel, KERNEL_INFEASIBLE);
    }
}

enum kernel_verdict kernel_solve(struct kernel *kernel, int64_t conflicts)
{
    kernel->budget_end =
        kernel->figures.conflicts + kernel->figures.solutions + conflicts;
    while (!kernel->answered) {
        if (!kernel->running && !begin_run(kernel))
            break;
        enum kernel_step how = step(kernel);
        while (how == STEP_DECIDED)
            how = step(kernel);
        if (how == STEP_PAUSED)
            return kernel->has_best ? KERNEL_FOUND : KERNEL_OPEN;
        end_run(kernel, how);
    }
    return kernel->verdict;
}
