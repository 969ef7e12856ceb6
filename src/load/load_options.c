/* Options of a procedure: what the file says, what was chosen, and what hangs on them. */
#include "load/fields.h"

#include <string.h>

struct raw_option {
    bool on;
    const char *words;
};

static struct option read_option(struct load *load, const struct node *node)
{
    static const struct field fields[] = {
        {"default", FIELD_YES, REQUIRED, offsetof(struct raw_option, on), NULL, NULL},
        {"words", FIELD_TEXT, OPTIONAL, offsetof(struct raw_option, words), NULL, NULL},
    };
    static const struct shape shape = {"an option", fields, 2};
    const char *name;
    load_name(load, node->key, &name);
    struct raw_option raw = {false, node->key->text};
    if (node->kind == NODE_TEXT)
        load_yes(load, node, &raw.on);
    else
        load_fields(load, node, &shape, &raw);
    return (struct option){node->key->text, raw.words, raw.on};
}

static struct choices option_names(const struct option *options, int count)
{
    struct choices choices = {.count = 0};
    for (int i = 0; i < count; i++)
        choices_add(&choices, options[i].name);
    return choices;
}

/* Sets the option of "name=yes" or "name=no". */
static void choose(struct load *load, struct option *options, int count,
                   const char *chosen)
{
    const struct span whole = {load->source, 0, 0, 0};
    const char *equals = strchr(chosen, '=');
    size_t length = equals ? (size_t)(equals - chosen) : strlen(chosen);
    const char *name = arena_copy(load->arena, chosen, length);
    bool yes = equals && strcmp(equals, "=yes") == 0;
    if (!yes && (!equals || strcmp(equals, "=no") != 0)) {
        diag_add(load->diags, MESSAGE_OPTION_CHOICE, whole,
                 load_shown(load->arena, chosen), load_shown(load->arena, name));
        return;
    }
    for (int i = 0; i < count; i++)
        if (strcmp(options[i].name, name) == 0) {
            options[i].on = yes;
            return;
        }
    struct choices choices = option_names(options, count);
    diag_add(load->diags, MESSAGE_OPTION_UNKNOWN, whole, load_shown(load->arena, name),
             choices_advice(&choices, name, "choose from", "this procedure has none",
                            load->arena));
}

void load_read_options(struct load *load, const struct node *map,
                       const char *const *chosen, int chosen_count)
{
    int count = load_count(load, map, OPTIONS_MAX, "options");
    struct option *options = arena_alloc(load->arena, OPTIONS_MAX * sizeof *options);
    const struct node *entry = map ? map->first : NULL;
    for (int i = 0; i < count; i++, entry = entry->next)
        options[i] = read_option(load, entry);
    for (int i = 0; i < chosen_count; i++)
        choose(load, options, count, chosen[i]);
    load->options = options;
    load->option_count = count;
}

/* The option of that name; NULL, and a message, where there is none. */
static const struct option *find_option(struct load *load, const struct node *name)
{
    for (int i = 0; i < load->option_count; i++)
        if (strcmp(load->options[i].name, name->text) == 0)
            return &load->options[i];
    struct choices choices = option_names(load->options, load->option_count);
    diag_add(load->diags, MESSAGE_UNKNOWN_NAME, name->where,
             load_shown(load->arena, name->text), "no option",
             choices_advice(&choices, name->text, "choose from",
                            "write it under 'options' first", load->arena));
    return NULL;
}

bool load_holds(struct load *load, const struct node *only_if)
{
    if (!only_if)
        return true;
    if (only_if->kind == NODE_TEXT) {
        const struct option *option = find_option(load, only_if);
        return !option || option->on;
    }
    if (!load_is(load, only_if, NODE_MAP, "{option: yes}"))
        return true;
    bool holds = true;
    for (const struct node *entry = only_if->first; entry; entry = entry->next) {
        const struct option *option = find_option(load, entry->key);
        bool wanted = option && option->on;
        load_yes(load, entry, &wanted);
        if (option && option->on != wanted)
            holds = false;
    }
    return holds;
}
