/* Names in braces in what is said aloud: the part or side they mean on this board. */
#include "base/text.h"
#include "load/scalars.h"

#include <string.h>

static const char *side_word(const struct load *load, const char *name)
{
    bool starboard = load->plan->board == BOARD_STARBOARD;
    if (strcmp(name, "windward") == 0)
        return starboard ? "starboard" : "port";
    if (strcmp(name, "leeward") == 0)
        return starboard ? "port" : "starboard";
    return NULL;
}

static const char *part_words(const struct load *load, const char *name)
{
    for (int i = 0; i < load->plan->part_count; i++) {
        const struct part *part = &load->plan->parts[i];
        if (strcmp(part->name, name) == 0 || strcmp(part->alias, name) == 0)
            return part->words;
    }
    return NULL;
}

static void report_placeholder(struct load *load, const struct node *text,
                               const char *name)
{
    struct choices choices = {.count = 0};
    choices_add(&choices, "windward");
    choices_add(&choices, "leeward");
    for (int i = 0; i < load->plan->part_count; i++) {
        const struct part *part = &load->plan->parts[i];
        choices_add(&choices, *part->alias ? part->alias : part->name);
    }
    diag_add(load->diags, MESSAGE_PLACEHOLDER, text->where, load_shown(load->arena, name),
             choices_advice(&choices, name, "choose from", "", load->arena));
}

/* Fills in the name between the braces at *AT, which moves behind it. */
static void fill_one(struct load *load, const struct node *node, const char **at,
                     struct text *out)
{
    const char *end = strchr(*at, '}');
    if (!end) {
        diag_add(load->diags, MESSAGE_OPEN_BRACE, node->where);
        *at += strlen(*at);
        return;
    }
    size_t length = (size_t)(end - *at) - 1;
    const char *name = arena_copy(load->arena, *at + 1, length);
    const char *words = side_word(load, name);
    if (!words)
        words = part_words(load, name);
    if (words)
        text_add(out, words);
    else
        report_placeholder(load, node, name);
    *at = end + 1;
}

/* A line that begins with a name in braces begins with a capital, as said aloud. */
static const char *with_capital(struct load *load, const struct text *text, bool capital)
{
    char *copy = arena_copy(load->arena, text->at, text->length);
    if (capital && copy[0] >= 'a' && copy[0] <= 'z')
        copy[0] = (char)(copy[0] - 'a' + 'A');
    return copy;
}

const char *load_fill_in(struct load *load, const struct node *node)
{
    const char *text = "";
    if (!node || !load_text(load, node, LOAD_TEXT_MAX, &text) || !load->plan)
        return text;
    if (!strchr(text, '{'))
        return text;
    struct text filled = {0};
    text_add(&filled, "");
    const char *at = text;
    while (*at) {
        size_t plain = strcspn(at, "{");
        text_add_bytes(&filled, at, plain);
        at += plain;
        if (*at)
            fill_one(load, node, &at, &filled);
    }
    const char *result = with_capital(load, &filled, text[0] == '{');
    text_free(&filled);
    return result;
}
