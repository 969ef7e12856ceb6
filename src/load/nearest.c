#include "load/nearest.h"

#include "base/text.h"
#include "base/utf8.h"

#include <assert.h>
#include <stdint.h>
#include <string.h>

enum {
    WORD_MAX = 48,    /* longer words are no slips of a name */
    ADVICE_MAX = 240, /* bytes of listed choices */
    SHOWN_MAX = 48    /* characters of the user's text in a message */
};

void choices_add(struct choices *choices, const char *word)
{
    assert(choices->count < CHOICES_MAX);
    if (word && *word)
        choices->at[choices->count++] = word;
}

static int least(int a, int b)
{
    return a < b ? a : b;
}

/* Letters to add, drop, change or swap to get from A to B; both shorter than WORD_MAX. */
static int distance(const char *a, const char *b)
{
    int rows = (int)strlen(a), columns = (int)strlen(b);
    int table[WORD_MAX + 1][WORD_MAX + 1];
    for (int i = 0; i <= rows; i++)
        table[i][0] = i;
    for (int j = 0; j <= columns; j++)
        table[0][j] = j;
    for (int i = 1; i <= rows; i++)
        for (int j = 1; j <= columns; j++) {
            int change = table[i - 1][j - 1] + (a[i - 1] != b[j - 1]);
            int best = least(change, least(table[i - 1][j], table[i][j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                best = least(best, table[i - 2][j - 2] + 1);
            table[i][j] = best;
        }
    return table[rows][columns];
}

const char *choices_nearest(const struct choices *choices, const char *wrong)
{
    size_t length = strlen(wrong);
    if (length > WORD_MAX)
        return NULL;
    int best = length <= 1 ? 0 : length <= 4 ? 1 : 2;
    const char *nearest = NULL;
    for (size_t i = 0; i < choices->count; i++) {
        size_t other = strlen(choices->at[i]);
        size_t longer = other > length ? other - length : length - other;
        if (other > WORD_MAX || longer > (size_t)best)
            continue;
        int away = distance(wrong, choices->at[i]);
        if (away < best || (away == best && !nearest && best)) {
            best = away;
            nearest = choices->at[i];
        }
    }
    return nearest;
}

const char *choices_advice(const struct choices *choices, const char *wrong,
                           const char *lead, const char *none, struct arena *arena)
{
    const char *nearest = choices_nearest(choices, wrong);
    if (nearest)
        return arena_printf(arena, "did you mean '%s'?", nearest);
    if (!choices->count)
        return none;
    struct text list = {0};
    text_add(&list, lead);
    size_t listed = choices->listed ? choices->listed : choices->count;
    for (size_t i = 0; i < listed; i++) {
        if (list.length > ADVICE_MAX) {
            text_add(&list, ", ...");
            break;
        }
        text_printf(&list, "%s %s", i ? "," : "", choices->at[i]);
    }
    const char *advice = arena_copy(arena, list.at, list.length);
    text_free(&list);
    return advice;
}

const char *load_shown(struct arena *arena, const char *text)
{
    struct text shown = {0};
    text_add(&shown, "");
    size_t left = strlen(text);
    for (int i = 0; left && i < SHOWN_MAX; i++) {
        uint32_t code = 0;
        size_t length = utf8_decode(text, left, &code);
        bool plain = length && !utf8_is_control(code);
        if (!length)
            length = 1;
        text_add_bytes(&shown, plain ? text : "?", plain ? length : 1);
        text += length;
        left -= length;
    }
    if (left)
        text_add(&shown, "...");
    const char *copy = arena_copy(arena, shown.at, shown.length);
    text_free(&shown);
    return copy;
}
