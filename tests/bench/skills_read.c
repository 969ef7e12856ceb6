/* Reads projects of several skills: MiniZinc data, of which only these names matter. */
#include "skills.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_MAX = 1 << 20, NUMBERS_MAX = 4096 };

/* The numbers of NAME, which stands at the beginning of a line; true is 1; gives how
 * many. */
static int read_numbers(const char *text, const char *name, int32_t numbers[NUMBERS_MAX])
{
    size_t length = strlen(name);
    const char *at = text;
    while (at && (strncmp(at, name, length) != 0 || at[length] != ' '))
        at = (at = strchr(at, '\n')) ? at + 1 : NULL;
    int count = 0;
    for (at = at ? at + length : ""; *at && *at != ';' && count < NUMBERS_MAX;) {
        char *end = NULL;
        long number = strtol(at, &end, 10);
        bool is_true = strncmp(at, "true", 4) == 0,
             is_false = strncmp(at, "false", 5) == 0;
        if (end == at && !is_true && !is_false) {
            at++;
            continue;
        }
        numbers[count++] = end == at ? is_true : (int32_t)number;
        at = end == at ? at + 4 : end;
    }
    return count;
}

static bool read_one(const char *text, const char *name, int32_t most, int32_t *out)
{
    int32_t numbers[NUMBERS_MAX];
    if (read_numbers(text, name, numbers) != 1 || numbers[0] < 1 || numbers[0] > most)
        return false;
    *out = numbers[0];
    return true;
}

static bool read_needs(const char *text, struct skills *out)
{
    int32_t numbers[NUMBERS_MAX];
    if (read_numbers(text, "dur", numbers) != out->acts)
        return false;
    memcpy(out->duration, numbers, (size_t)out->acts * sizeof *numbers);
    if (read_numbers(text, "sreq", numbers) != out->acts * out->skills)
        return false;
    for (int32_t a = 0; a < out->acts; a++)
        for (int32_t k = 0; k < out->skills; k++)
            out->needs[a][k] = numbers[a * out->skills + k];
    if (read_numbers(text, "mastery", numbers) != out->persons * out->skills)
        return false;
    for (int32_t p = 0; p < out->persons; p++)
        for (int32_t k = 0; k < out->skills; k++)
            out->has[p][k] = numbers[p * out->skills + k] != 0;
    return true;
}

static bool read_order(const char *text, struct skills *out)
{
    int32_t first[NUMBERS_MAX], second[NUMBERS_MAX];
    int count = read_numbers(text, "pred", first);
    if (count == 0 || read_numbers(text, "succ", second) != count)
        return false;
    for (int i = 0; i < count; i++) {
        if (first[i] < 1 || first[i] > out->acts || second[i] < 1 ||
            second[i] > out->acts)
            return false;
        out->before[first[i] - 1][second[i] - 1] = true;
    }
    return true;
}

bool skills_read(const char *path, struct skills *out)
{
    memset(out, 0, sizeof *out);
    FILE *file = fopen(path, "r");
    char *text = file ? calloc(TEXT_MAX + 1, 1) : NULL;
    bool read = text && fread(text, 1, TEXT_MAX, file) > 0 &&
                read_one(text, "nActs", ACTS_MAX, &out->acts) &&
                read_one(text, "nSkills", SKILLS_MAX, &out->skills) &&
                read_one(text, "nResources", PERSONS_MAX, &out->persons) &&
                read_needs(text, out) && read_order(text, out);
    free(text);
    if (file)
        fclose(file);
    return read;
}
