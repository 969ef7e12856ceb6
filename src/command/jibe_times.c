#include "command/jibe_times.h"

#include "logbook/logbook.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { TIMES_MAX = 200 };

struct times {
    const struct wind_method *methods;
    int method_count, count;
    double times_s[TIMES_MAX];
};

static bool is_jibe(const struct times *times, const char *name)
{
    for (int i = 0; i < times->method_count; i++)
        if (times->methods[i].procedure->family == FAMILY_JIBE &&
            strcmp(times->methods[i].procedure->name, name) == 0)
            return true;
    return false;
}

static void take_run(const struct logbook_run *run, void *payload)
{
    struct times *times = payload;
    if (times->count < TIMES_MAX && run->closed && run->outcome == RUN_DONE &&
        run->mode != RUN_WALK && run->total_ms > 0 && is_jibe(times, run->procedure))
        times->times_s[times->count++] = (double)run->total_ms / 1000;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int jibe_times(struct context *context, const struct wind_method *methods, int count,
               double *median_s)
{
    const char *path = context_logbook_path(context);
    struct times *times = arena_alloc(context->arena, sizeof *times);
    struct text why = {0};
    times->methods = methods;
    times->method_count = count;
    struct logbook *logbook = access(path, R_OK) == 0 ? logbook_open(path, &why) : NULL;
    if (!logbook || !logbook_each(logbook, 0, take_run, times))
        times->count = 0;
    logbook_close(logbook);
    text_free(&why);
    qsort(times->times_s, (size_t)times->count, sizeof *times->times_s, by_size);
    *median_s = times->count ? times->times_s[(times->count - 1) / 2] : 0;
    return times->count;
}
