/* Readers of the benchmark formats. */
#include "project.h"

#include <stdio.h>
#include <string.h>

static bool read_file(const char *path, bool (*read)(FILE *, struct project *),
                      struct project *out)
{
    memset(out, 0, sizeof *out);
    FILE *file = fopen(path, "r");
    bool fine = file && read(file, out);
    if (file)
        fclose(file);
    return fine;
}

/* Skips to behind the line that starts with WORD. */
static bool skip_to(FILE *file, const char *word)
{
    char line[512];
    while (fgets(line, sizeof line, file))
        if (strncmp(line, word, strlen(word)) == 0)
            return true;
    return false;
}

static bool read_number(FILE *file, int32_t least, int32_t most, int32_t *out)
{
    int number;
    if (fscanf(file, "%d", &number) != 1 || number < least || number > most)
        return false;
    *out = number;
    return true;
}

static bool read_sm_order(FILE *file, struct project *out)
{
    char line[512];
    if (!skip_to(file, "jobnr."))
        return false;
    for (int32_t i = 0; i < out->jobs; i++) {
        int32_t job, modes, count, next;
        if (!read_number(file, i + 1, i + 1, &job) || !read_number(file, 1, 1, &modes) ||
            !read_number(file, 0, JOBS_MAX, &count))
            return false;
        while (count--) {
            if (!read_number(file, 1, out->jobs, &next))
                return false;
            out->before[i][next - 1] = true;
        }
    }
    return fgets(line, sizeof line, file) != NULL;
}

static bool read_sm_needs(FILE *file, struct project *out)
{
    char heading[512];
    if (!skip_to(file, "REQUESTS/DURATIONS") || !fgets(heading, sizeof heading, file))
        return false;
    for (const char *at = heading; (at = strstr(at, "R ")); at++)
        out->resources++;
    if (out->resources > RESOURCES_MAX || !skip_to(file, "---"))
        return false;
    for (int32_t i = 0; i < out->jobs; i++) {
        int32_t job, mode;
        if (!read_number(file, i + 1, i + 1, &job) || !read_number(file, 1, 1, &mode) ||
            !read_number(file, 0, 1000, &out->duration[i]))
            return false;
        for (int32_t r = 0; r < out->resources; r++)
            if (!read_number(file, 0, 1000, &out->demand[i][r]))
                return false;
    }
    if (!skip_to(file, "RESOURCEAVAILABILITIES") || !fgets(heading, sizeof heading, file))
        return false;
    for (int32_t r = 0; r < out->resources; r++)
        if (!read_number(file, 0, 10000, &out->capacity[r]))
            return false;
    return true;
}

static bool read_sm_jobs(FILE *file, struct project *out)
{
    char line[512];
    while (fgets(line, sizeof line, file)) {
        const char *colon = strchr(line, ':');
        int jobs;
        if (strncmp(line, "jobs ", 5) == 0 && colon &&
            sscanf(colon + 1, "%d", &jobs) == 1) {
            out->jobs = jobs;
            return jobs > 0 && jobs <= JOBS_MAX;
        }
    }
    return false;
}

bool project_read_sm(const char *path, struct project *out)
{
    memset(out, 0, sizeof *out);
    FILE *file = fopen(path, "r");
    if (!file)
        return false;
    bool read =
        read_sm_jobs(file, out) && read_sm_order(file, out) && read_sm_needs(file, out);
    fclose(file);
    return read;
}

static bool read_rcp(FILE *file, struct project *out)
{
    if (!read_number(file, 1, JOBS_MAX, &out->jobs) ||
        !read_number(file, 0, RESOURCES_MAX, &out->resources))
        return false;
    for (int32_t r = 0; r < out->resources; r++)
        if (!read_number(file, 0, 10000, &out->capacity[r]))
            return false;
    for (int32_t i = 0; i < out->jobs; i++) {
        int32_t count, next;
        if (!read_number(file, 0, 1000, &out->duration[i]))
            return false;
        for (int32_t r = 0; r < out->resources; r++)
            if (!read_number(file, 0, 1000, &out->demand[i][r]))
                return false;
        if (!read_number(file, 0, JOBS_MAX, &count))
            return false;
        while (count--) {
            if (!read_number(file, 1, out->jobs, &next))
                return false;
            out->before[i][next - 1] = true;
        }
    }
    return true;
}

bool project_read_rcp(const char *path, struct project *out)
{
    return read_file(path, read_rcp, out);
}

static bool read_shop(FILE *file, struct project *out)
{
    char line[512];
    int rows = 0, machines = 0;
    while (rows == 0 && fgets(line, sizeof line, file))
        if (line[0] != '#' && sscanf(line, "%d %d", &rows, &machines) < 2)
            rows = 0;
    if (rows < 1 || machines < 1 || machines > RESOURCES_MAX ||
        rows * machines > JOBS_MAX)
        return false;
    out->jobs = rows * machines;
    out->resources = machines;
    for (int32_t r = 0; r < machines; r++)
        out->capacity[r] = 1;
    for (int32_t i = 0; i < out->jobs; i++) {
        int32_t machine;
        if (!read_number(file, 0, machines - 1, &machine) ||
            !read_number(file, 0, 10000, &out->duration[i]))
            return false;
        out->demand[i][machine] = 1;
        if (i % machines)
            out->before[i - 1][i] = true;
    }
    return true;
}

bool project_read_shop(const char *path, struct project *out)
{
    return read_file(path, read_shop, out);
}
