#include "load/rig_places.h"

#include "load/fields.h"

#include <string.h>

static const char *const side_words[] = {"port", "starboard", NULL};

const char *const *load_side_words(void)
{
    return side_words;
}

const char *load_side_word(enum side side)
{
    return side == SIDE_PORT ? side_words[0] : side_words[1];
}

enum side load_fixed_side(int fixed)
{
    return fixed < 0 ? SIDE_NONE : fixed == 0 ? SIDE_PORT : SIDE_STARBOARD;
}

bool load_read_side_names(struct load *load, const struct node *node, bool with_words,
                          struct side_names *out)
{
    static const struct field fields[] = {
        {"windward", FIELD_SCALAR, REQUIRED, offsetof(struct side_names, windward), NULL,
         NULL},
        {"leeward", FIELD_SCALAR, REQUIRED, offsetof(struct side_names, leeward), NULL,
         NULL},
        {"words", FIELD_SCALAR, REQUIRED, offsetof(struct side_names, words), NULL, NULL},
    };
    const struct shape shape = {with_words ? "'side-values'" : "'sides'", fields,
                                with_words ? 3 : 2};
    const char *name;
    *out = (struct side_names){NULL, NULL, NULL};
    if (!node || !load_fields(load, node, &shape, out) || !out->windward || !out->leeward)
        return false;
    bool windward = load_name(load, out->windward, &name);
    return load_name(load, out->leeward, &name) && windward;
}

const char *load_side_name(const struct load *load, const struct side_names *names,
                           enum side side)
{
    enum side weather = load->plan->board == BOARD_STARBOARD ? SIDE_STARBOARD : SIDE_PORT;
    return side == weather ? names->windward->text : names->leeward->text;
}

static bool same_name(const struct place_name *a, const struct place_name *b)
{
    const char *const first[] = {a->name, a->alias}, *const second[] = {b->name,
                                                                        b->alias};
    for (int i = 0; i < 2; i++)
        for (int j = 0; j < 2; j++)
            if (*first[i] && strcmp(first[i], second[j]) == 0)
                return true;
    return false;
}

void load_check_places(struct load *load, const struct place_name *names, int count)
{
    for (int i = 1; i < count; i++)
        for (int j = 0; j < i; j++)
            if (same_name(&names[i], &names[j])) {
                const char *name = *names[i].alias ? names[i].alias : names[i].name;
                diag_add(load->diags, MESSAGE_DUPLICATE_NAME, names[i].where, name,
                         names[j].where.line);
                break;
            }
}
