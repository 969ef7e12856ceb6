/* Overload between two moments: the weights found by kernel_together.c times the time
 * that tasks must spend between them, wherever they are put, against what fits in there.
 */
#include "bill/kernel_parts.h"

#include <string.h>

static int32_t least_of(int32_t a, int32_t b)
{
    return a < b ? a : b;
}

static int32_t first_start(const struct kernel *kernel, const struct kernel_stay *stay)
{
    return kernel_lowest(kernel, stay->variable) + stay->delay;
}

static int32_t last_start(const struct kernel *kernel, const struct kernel_stay *stay)
{
    return kernel_highest(kernel, stay->variable) + stay->delay;
}

/* The time the task must spend between the moments, at least. */
static int32_t must_spend(const struct kernel *kernel, const struct kernel_stay *stay,
                          int32_t from, int32_t to)
{
    int32_t inside = least_of(first_start(kernel, stay) + stay->duration - from,
                              to - last_start(kernel, stay));
    return least_of(inside, least_of(stay->duration, to - from));
}

/* What makes it spend TIME there: it starts late enough, and early enough. */
static struct kernel_literal late_enough(const struct kernel_stay *stay, int32_t from,
                                         int32_t time)
{
    return kernel_at_least(stay->variable, from + time - stay->duration - stay->delay);
}

static struct kernel_literal early_enough(const struct kernel_stay *stay, int32_t to,
                                          int32_t time)
{
    return kernel_at_most(stay->variable, to - time - stay->delay);
}

/* Tasks that spend time between the moments into helpers, youngest first, with the time
 * of each; gives their number, and what they have more than fits. */
static int32_t find_spenders(struct kernel *kernel, int32_t kind, int32_t from,
                             int32_t to, int32_t *excess)
{
    struct kernel_energy *energy = kernel->energy;
    struct kernel_helper *helpers = energy->helper;
    int32_t count = 0;
    *excess = -energy->limit[kind] * (to - from);
    for (int32_t i = 0; i < energy->tasks; i++) {
        const struct kernel_stay *stay = &energy->stay[i];
        int32_t time = must_spend(kernel, stay, from, to);
        if (time <= 0 || energy->weight[i][kind] == 0)
            continue;
        *excess += time * energy->weight[i][kind];
        energy->time[i] = time;
        int32_t late = kernel_entry_before(kernel, late_enough(stay, from, time),
                                           kernel->trail_count);
        int32_t early = kernel_entry_before(kernel, early_enough(stay, to, time),
                                            kernel->trail_count);
        int32_t age = late > early ? late : early, j = count++;
        for (; j > 0 && helpers[j - 1].age < age; j--)
            helpers[j] = helpers[j - 1];
        helpers[j] = (struct kernel_helper){i, age};
    }
    return count;
}

/* The youngest are left out as long as what fits is still exceeded; of the others some
 * may spend less. */
static void why_overload(struct kernel *kernel, int32_t kind, int32_t from, int32_t to)
{
    struct kernel_energy *energy = kernel->energy;
    int32_t spare, count = find_spenders(kernel, kind, from, to, &spare);
    assert(spare > 0);
    spare--;
    kernel->why_count = 0;
    for (int32_t j = 0; j < count; j++) {
        int32_t i = energy->helper[j].item, weight = energy->weight[i][kind];
        if (energy->time[i] * weight <= spare) {
            spare -= energy->time[i] * weight;
            energy->time[i] = 0;
        }
    }
    for (int32_t j = 0; j < count; j++) {
        int32_t i = energy->helper[j].item, less = spare / energy->weight[i][kind];
        int32_t time = energy->time[i] - less;
        if (energy->time[i] == 0)
            continue;
        spare -= less * energy->weight[i][kind];
        kernel_why(kernel, late_enough(&energy->stay[i], from, time));
        kernel_why(kernel, early_enough(&energy->stay[i], to, time));
    }
}

/* The latest end of all tasks. */
static int32_t last_end(const struct kernel *kernel)
{
    const struct kernel_energy *energy = kernel->energy;
    int32_t end = energy->from;
    for (int32_t i = 0; i < energy->tasks; i++) {
        int32_t of = last_start(kernel, &energy->stay[i]) + energy->stay[i].duration;
        end = of > end ? of : end;
    }
    return end;
}

/* How the energies grow with the end, until TO, of a stretch that starts at FROM: what
 * each task adds from one moment on and no more from another. */
static void find_growth(struct kernel *kernel, int32_t from, int32_t to)
{
    struct kernel_energy *energy = kernel->energy;
    size_t moments = (size_t)(to - from) + 1;
    memset(energy->growth[from - energy->from], 0, moments * sizeof *energy->growth);
    for (int32_t i = 0; i < energy->tasks; i++) {
        const struct kernel_stay *stay = &energy->stay[i];
        int32_t start = first_start(kernel, stay), last = last_start(kernel, stay);
        int32_t most = least_of(stay->duration, start + stay->duration - from);
        if (most <= 0)
            continue;
        last = last > from ? last : from;
        int16_t *more = energy->growth[last - energy->from];
        int16_t *less = energy->growth[last + most - energy->from];
        for (int32_t kind = 0; kind < ENERGY_KINDS; kind++) {
            more[kind] = (int16_t)(more[kind] + energy->weight[i][kind]);
            less[kind] = (int16_t)(less[kind] - energy->weight[i][kind]);
        }
    }
}

/* The kind of which there is too much in some stretch from FROM on; -1: none. */
static int32_t find_overload(struct kernel *kernel, int32_t from, int32_t to)
{
    const struct kernel_energy *energy = kernel->energy;
    int16_t excess[ENERGY_KINDS] = {0}, most[ENERGY_KINDS] = {0}, grows[ENERGY_KINDS];
    find_growth(kernel, from, to);
    for (int32_t kind = 0; kind < ENERGY_KINDS; kind++)
        grows[kind] = (int16_t)-energy->limit[kind];
    for (int32_t t = from - energy->from; t < to - energy->from; t++)
        for (int32_t kind = 0; kind < ENERGY_KINDS; kind++) {
            grows[kind] = (int16_t)(grows[kind] + energy->growth[t][kind]);
            excess[kind] = (int16_t)(excess[kind] + grows[kind]);
            most[kind] = excess[kind] > most[kind] ? excess[kind] : most[kind];
        }
    for (int32_t kind = 0; kind < energy->kinds; kind++)
        if (most[kind] > 0)
            return kind;
    return -1;
}

/* Where the stretch from FROM on ends that has most too much of KIND. */
static int32_t worst_end(const struct kernel *kernel, int32_t kind, int32_t from,
                         int32_t to)
{
    const struct kernel_energy *energy = kernel->energy;
    int32_t excess = 0, most = 0, grows = -energy->limit[kind], end = from;
    for (int32_t t = from; t < to; t++) {
        grows += energy->growth[t - energy->from][kind];
        excess += grows;
        if (excess > most) {
            most = excess;
            end = t + 1;
        }
    }
    return end;
}

bool kernel_energy_fits(struct kernel *kernel)
{
    const struct kernel_energy *energy = kernel->energy;
    if (!energy || energy->kinds == 0)
        return true;
    bool seen[ENERGY_SPAN + 1] = {false};
    int32_t to = last_end(kernel);
    for (int32_t i = 0; i < energy->tasks; i++) {
        int32_t from = first_start(kernel, &energy->stay[i]);
        if (seen[from - energy->from])
            continue;
        seen[from - energy->from] = true;
        int32_t kind = find_overload(kernel, from, to);
        if (kind < 0)
            continue;
        why_overload(kernel, kind, from, worst_end(kernel, kind, from, to));
        return false;
    }
    return true;
}
