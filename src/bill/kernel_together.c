/* What the capacities say together, which none says alone.  Of the tasks that always stay
 * for a fixed time, the sets that can be at the same time are listed; weights are found
 * such that no such set weighs more than a limit, and tasks in a stretch of time weigh as
 * much as they can (a linear program for the stretch).  Weight times time is then an
 * energy of which only so much fits between two moments: kernel_energy.c watches it. */
#include "bill/kernel_parts.h"

#include <string.h>

enum {
    SETS_MAX = 1024,
    TURNS_MAX = 250, /* of the simplex; the weights hold wherever it stops */
    SCALE = 120,     /* weights are whole numbers; halves to sixths come out exact */
    TRIES = 3        /* programs for each kind of weight wanted */
};

typedef uint64_t task_set;

/* The listing of the sets and the tableau made of them. */
struct together {
    const struct kernel *kernel;
    struct kernel_energy *energy;
    int32_t tasks, capacities;
    int32_t (*demand)[ENERGY_TASKS]; /* by capacity */
    int32_t *capacity;
    task_set fits[ENERGY_TASKS]; /* tasks that may be at the same time as this one */
    task_set *set;               /* largest sets: no task more fits */
    int32_t sets;
    double *tableau; /* a row for each set, then the aim; tasks, then the right side */
    int32_t *basic;  /* of each row; tasks first, then the slack of the row */
    int32_t *column; /* what stands in each column, named likewise */
    int32_t wanted[ENERGY_TASKS], weight[ENERGY_TASKS];
    int32_t from, length; /* of the best solution */
    uint32_t seed;
};

static bool is_fixed_stay(const struct kernel *kernel, const struct kernel_task *task)
{
    return task->demand > 0 && task->start == task->end &&
           task->end_delay > task->start_delay &&
           kernel->root[task->guard.side] >= task->guard.bound;
}

/* The number of the task among those known, perhaps as a new one; -1: too many. */
static int32_t number_of(struct kernel_energy *energy, const struct kernel_task *task)
{
    const struct kernel_stay new = {task->start, task->start_delay,
                                    task->end_delay - task->start_delay};
    for (int32_t i = 0; i < energy->tasks; i++)
        if (energy->stay[i].variable == new.variable &&
            energy->stay[i].delay == new.delay &&
            energy->stay[i].duration == new.duration)
            return i;
    if (energy->tasks == ENERGY_TASKS)
        return -1;
    energy->stay[energy->tasks] = new;
    return energy->tasks++;
}

static bool find_tasks(struct together *all)
{
    for (int32_t c = 0; c < all->kernel->constraint_count; c++) {
        const struct kernel_constraint *from = &all->kernel->constraints[c];
        if (from->terms)
            continue;
        all->capacity[all->capacities] = from->capacity;
        for (int32_t i = 0; i < from->count; i++) {
            if (!is_fixed_stay(all->kernel, &from->tasks[i]))
                continue;
            int32_t number = number_of(all->energy, &from->tasks[i]);
            if (number < 0)
                return false;
            all->demand[all->capacities][number] += from->tasks[i].demand;
        }
        all->capacities++;
    }
    all->tasks = all->energy->tasks;
    return all->tasks > 1;
}

/* Whether an edge that always holds puts task J after task I. */
static bool is_put_after(const struct together *all, int32_t i, int32_t j)
{
    const struct kernel *kernel = all->kernel;
    const struct kernel_stay *one = &all->energy->stay[i], *two = &all->energy->stay[j];
    const struct kernel_arcs *arcs = &kernel->arcs[2 * one->variable];
    for (int32_t a = 0; a < arcs->count; a++) {
        const struct kernel_arc *arc = &arcs->item[a];
        if (arc->to == 2 * two->variable &&
            kernel->root[arc->guard.side] >= arc->guard.bound &&
            arc->distance + two->delay - one->delay >= one->duration)
            return true;
    }
    return false;
}

static bool fit_two(const struct together *all, int32_t i, int32_t j)
{
    for (int32_t c = 0; c < all->capacities; c++)
        if (all->demand[c][i] + all->demand[c][j] > all->capacity[c])
            return false;
    return true;
}

static void find_pairs(struct together *all)
{
    task_set after[ENERGY_TASKS] = {0};
    for (int32_t i = 0; i < all->tasks; i++)
        for (int32_t j = 0; j < all->tasks; j++)
            if (i != j && is_put_after(all, i, j))
                after[i] |= (task_set)1 << j;
    for (int32_t k = 0; k < all->tasks; k++)
        for (int32_t i = 0; i < all->tasks; i++)
            if (after[i] >> k & 1)
                after[i] |= after[k];
    for (int32_t i = 0; i < all->tasks; i++)
        for (int32_t j = 0; j < all->tasks; j++)
            if (i != j && !(after[i] >> j & 1) && !(after[j] >> i & 1) &&
                fit_two(all, i, j))
                all->fits[i] |= (task_set)1 << j;
}

static bool has_room(const struct together *all, task_set set, int32_t task)
{
    if (set & ~all->fits[task])
        return false;
    for (int32_t c = 0; c < all->capacities; c++) {
        int32_t demand = all->demand[c][task];
        for (int32_t i = 0; i < all->tasks; i++)
            if (set >> i & 1)
                demand += all->demand[c][i];
        if (demand > all->capacity[c])
            return false;
    }
    return true;
}

/* Lists the largest sets that hold SET and else only tasks from NEXT on; false where
 * there are too many. */
static bool list_sets(struct together *all, task_set set, int32_t next)
{
    bool is_largest = true;
    for (int32_t i = 0; i < all->tasks; i++) {
        if (set >> i & 1 || !has_room(all, set, i))
            continue;
        is_largest = false;
        if (i >= next && !list_sets(all, set | (task_set)1 << i, i + 1))
            return false;
    }
    if (!is_largest)
        return true;
    if (all->sets == SETS_MAX)
        return false;
    all->set[all->sets++] = set;
    return true;
}

/* Largest weight of what is wanted where every set weighs at most 1.  The right sides
 * differ a little, so that few rows tie. */
static void fill_tableau(struct together *all)
{
    int32_t width = all->tasks + 1;
    for (int32_t s = 0; s < all->sets; s++) {
        double *row = &all->tableau[s * width];
        for (int32_t i = 0; i < all->tasks; i++)
            row[i] = all->set[s] >> i & 1 ? 1 : 0;
        row[all->tasks] = 1 + 1e-6 * s;
        all->basic[s] = all->tasks + s;
    }
    double *aim = &all->tableau[all->sets * width];
    for (int32_t i = 0; i < all->tasks; i++) {
        aim[i] = all->wanted[i];
        all->column[i] = i;
    }
    aim[all->tasks] = 0;
}

/* The row that ends the growth of the column first; -1: none. */
static int32_t leaving_row(const struct together *all, int32_t column)
{
    int32_t width = all->tasks + 1, best = -1;
    double least = 0;
    for (int32_t s = 0; s < all->sets; s++) {
        const double *row = &all->tableau[s * width];
        if (row[column] > 1e-9 && (best < 0 || row[all->tasks] < least * row[column])) {
            least = row[all->tasks] / row[column];
            best = s;
        }
    }
    return best;
}

/* Exchanges what stands in the row and the column. */
static void turn(struct together *all, int32_t leaving, int32_t column)
{
    int32_t width = all->tasks + 1;
    double *pivot = &all->tableau[leaving * width], by = pivot[column];
    pivot[column] = 1;
    for (int32_t i = 0; i < width; i++)
        pivot[i] /= by;
    for (int32_t s = 0; s <= all->sets; s++) {
        double *row = &all->tableau[s * width], times = row[column];
        if (s == leaving || times == 0)
            continue;
        row[column] = 0;
        for (int32_t i = 0; i < width; i++)
            row[i] -= times * pivot[i];
    }
    int32_t was = all->basic[leaving];
    all->basic[leaving] = all->column[column];
    all->column[column] = was;
}

/* Dantzig's simplex: always the column that promises most. */
static void solve_program(struct together *all)
{
    fill_tableau(all);
    const double *aim = &all->tableau[all->sets * (all->tasks + 1)];
    for (int turns = 0; turns < TURNS_MAX; turns++) {
        int32_t best = 0;
        for (int32_t i = 1; i < all->tasks; i++)
            best = aim[i] > aim[best] ? i : best;
        int32_t leaving = aim[best] > 1e-9 ? leaving_row(all, best) : -1;
        if (leaving < 0)
            return;
        turn(all, leaving, best);
    }
}

static int32_t weight_of(const struct together *all, task_set set)
{
    int32_t weight = 0;
    for (int32_t i = 0; i < all->tasks; i++)
        weight += set >> i & 1 ? all->weight[i] : 0;
    return weight;
}

/* The heaviest set that holds TASK, or of all where it is -1. */
static int32_t heaviest(const struct together *all, int32_t task)
{
    int32_t most = 0;
    for (int32_t s = 0; s < all->sets; s++) {
        if (task >= 0 && !(all->set[s] >> task & 1))
            continue;
        int32_t weight = weight_of(all, all->set[s]);
        most = weight > most ? weight : most;
    }
    return most;
}

/* Whole weights from the program's, each then raised as far as the limit allows; gives
 * the limit, which holds whatever rounding did. */
static int32_t read_weights(struct together *all)
{
    memset(all->weight, 0, sizeof all->weight);
    for (int32_t s = 0; s < all->sets; s++) {
        double value = all->tableau[s * (all->tasks + 1) + all->tasks];
        if (all->basic[s] < all->tasks && value > 0 && value < 2)
            all->weight[all->basic[s]] = (int32_t)(value * SCALE + 0.5);
    }
    int32_t limit = heaviest(all, -1);
    for (int32_t i = 0; i < all->tasks; i++)
        all->weight[i] += limit - heaviest(all, i);
    return limit;
}

static int32_t draw(struct together *all, int32_t least, int32_t most)
{
    all->seed = all->seed * 1664525u + 1013904223u;
    return least + (int32_t)((all->seed >> 8) % (uint32_t)(most - least + 1));
}

static int32_t least_of(int32_t a, int32_t b)
{
    return a < b ? a : b;
}

/* How much of each task lies in some stretch of time, put by chance near where the best
 * solution has it. */
static void want_stretch(struct together *all)
{
    const int32_t *best = all->kernel->best;
    int32_t length = all->length * draw(all, 1, 3) / 4, away = all->length / 4;
    int32_t from = all->from + draw(all, 0, all->length - length), to = from + length;
    for (int32_t i = 0; i < all->tasks; i++) {
        const struct kernel_stay *stay = &all->energy->stay[i];
        int32_t start = best[stay->variable] + stay->delay + draw(all, -away, away);
        int32_t inside = least_of(start + stay->duration - from, to - start);
        inside = least_of(inside, least_of(stay->duration, length));
        all->wanted[i] = inside > 0 ? inside : 0;
    }
}

static bool is_known(const struct together *all)
{
    for (int32_t kind = 0; kind < all->energy->kinds; kind++) {
        bool same = true;
        for (int32_t i = 0; i < all->tasks && same; i++)
            same = all->energy->weight[i][kind] == all->weight[i];
        if (same)
            return true;
    }
    return false;
}

/* Whether all energies fit the numbers they are added up in. */
static bool is_small(const struct together *all, int32_t limit)
{
    int32_t sum = 0;
    for (int32_t i = 0; i < all->tasks; i++)
        sum += all->weight[i] * all->energy->stay[i].duration;
    return sum <= INT16_MAX && limit * (all->energy->to - all->energy->from) <= INT16_MAX;
}

static void add_kind(struct together *all)
{
    solve_program(all);
    int32_t limit = read_weights(all);
    if (is_known(all) || !is_small(all, limit))
        return;
    int32_t kind = all->energy->kinds++;
    all->energy->limit[kind] = (int16_t)limit;
    for (int32_t i = 0; i < all->tasks; i++)
        all->energy->weight[i][kind] = (int16_t)all->weight[i];
}

/* From the earliest start to the latest end of all, also in the best solution; false
 * where that is too long. */
static bool find_span(struct together *all)
{
    struct kernel_energy *energy = all->energy;
    int32_t to = all->from = energy->from = KERNEL_BOUND_MAX;
    energy->to = -KERNEL_BOUND_MAX;
    for (int32_t i = 0; i < all->tasks; i++) {
        const struct kernel_stay *stay = &energy->stay[i];
        int32_t end = stay->delay + stay->duration;
        int32_t start = all->kernel->best[stay->variable] + stay->delay;
        energy->from =
            least_of(energy->from, all->kernel->root[2 * stay->variable] + stay->delay);
        energy->to =
            -least_of(-energy->to, all->kernel->root[2 * stay->variable + 1] - end);
        all->from = least_of(all->from, start);
        to = least_of(to, -start - stay->duration);
    }
    all->length = -to - all->from;
    return energy->to - energy->from <= ENERGY_SPAN;
}

static void find_kinds(struct together *all)
{
    for (int32_t i = 0; i < all->tasks; i++)
        all->wanted[i] = all->energy->stay[i].duration;
    add_kind(all);
    for (int tries = 0; tries < TRIES * ENERGY_KINDS; tries++) {
        if (all->energy->kinds == ENERGY_KINDS)
            return;
        want_stretch(all);
        add_kind(all);
    }
}

void kernel_find_energy(struct kernel *kernel)
{
    struct arena *arena = arena_new();
    struct together *all = arena_alloc(arena, sizeof *all);
    size_t capacities = (size_t)kernel->constraint_count + 1;
    all->kernel = kernel;
    all->energy = kernel->energy = arena_alloc(kernel->arena, sizeof *kernel->energy);
    all->demand = arena_alloc(arena, capacities * sizeof *all->demand);
    all->capacity = arena_alloc(arena, capacities * sizeof *all->capacity);
    all->set = arena_alloc(arena, SETS_MAX * sizeof *all->set);
    if (find_tasks(all) && find_span(all)) {
        find_pairs(all);
        if (list_sets(all, 0, 0)) {
            size_t width = (size_t)all->tasks + 1, rows = (size_t)all->sets + 1;
            all->tableau = arena_alloc(arena, rows * width * sizeof *all->tableau);
            all->basic = arena_alloc(arena, rows * sizeof *all->basic);
            all->column = arena_alloc(arena, width * sizeof *all->column);
            find_kinds(all);
        }
    }
    arena_free(arena);
}
