#include "load/load.h"

#include "load/fields.h"

struct raw_hand {
    const struct node *name, *knows;
    bool aboard;
    double pace_m_s, holds_n;
    const char *limits;
};

static const struct range pace_range = {UNIT_M_S, 0.2, 3, "0.2 m/s to 3 m/s"};
static const struct range holds_range = {UNIT_N, 20, 2000, "20 N to 2000 N"};
static const char *const grade_words[] = {"new", "able", "sure", NULL};

#define AT(member) offsetof(struct raw_hand, member)
static const struct field hand_fields[] = {
    {"hand", FIELD_SCALAR, REQUIRED, AT(name), NULL, NULL},
    {"aboard", FIELD_YES, OPTIONAL, AT(aboard), NULL, NULL},
    {"knows", FIELD_MAP, OPTIONAL, AT(knows), NULL, NULL},
    {"pace", FIELD_QUANTITY, OPTIONAL, AT(pace_m_s), &pace_range, NULL},
    {"holds", FIELD_QUANTITY, OPTIONAL, AT(holds_n), &holds_range, NULL},
    {"limits", FIELD_TEXT, OPTIONAL, AT(limits), NULL, NULL},
};
#undef AT
static const struct shape hand_shape = {"a hand", hand_fields,
                                        sizeof hand_fields / sizeof *hand_fields};

static struct knows read_known(struct load *load, const struct node *entry)
{
    const char *role = "";
    int grade = 0;
    load_name(load, entry->key, &role);
    load_choice(load, entry, grade_words, &grade);
    return (struct knows){role, (enum grade)(grade + 1), entry->key->where};
}

static struct hand read_hand(struct load *load, const struct node *node)
{
    struct raw_hand raw = {.aboard = true, .pace_m_s = 1.0, .limits = ""};
    const char *name = "";
    load_fields(load, node, &hand_shape, &raw);
    if (raw.name)
        load_text(load, raw.name, LOAD_LABEL_MAX, &name);
    int count = load_count(load, raw.knows, RIG_ROLES_MAX * 4, "roles of a hand");
    struct knows *knows = arena_alloc(load->arena, (size_t)count * sizeof *knows);
    const struct node *entry = raw.knows ? raw.knows->first : NULL;
    for (int i = 0; i < count; i++, entry = entry->next)
        knows[i] = read_known(load, entry);
    return (struct hand){.name = name,
                         .knows = knows,
                         .knows_count = (uint8_t)count,
                         .aboard = raw.aboard,
                         .pace_m_s = raw.pace_m_s,
                         .holds_n = raw.holds_n,
                         .limits = raw.limits,
                         .where = raw.name ? raw.name->where : node->where};
}

static void read_hands(struct load *load, const struct node *list, struct crew *crew)
{
    int count = load_count(load, list, HANDS_MAX, "hands");
    struct hand *hands = arena_alloc(load->arena, (size_t)count * sizeof *hands);
    const struct node *names[HANDS_MAX];
    const struct node *item = list ? list->first : NULL;
    for (int i = 0; i < count; i++, item = item->next) {
        const struct node *name = node_get(item, "hand");
        names[i] = name && name->kind == NODE_TEXT ? name : NULL;
        hands[i] = read_hand(load, item);
    }
    load_check_names(load, names, count);
    if (list && !count)
        diag_add(load->diags, MESSAGE_NO_HANDS, list->where);
    crew->hands = hands;
    crew->hand_count = (uint8_t)count;
}

struct raw_crew {
    const struct node *format, *hands;
    const char *name;
};

const struct crew *load_crew(const struct source *source, struct arena *arena,
                             struct diags *diags)
{
    static const struct field fields[] = {
        {"format", FIELD_ANY, OPTIONAL, offsetof(struct raw_crew, format), NULL, NULL},
        {"crew", FIELD_LABEL, REQUIRED, offsetof(struct raw_crew, name), NULL, NULL},
        {"hands", FIELD_LIST, REQUIRED, offsetof(struct raw_crew, hands), NULL, NULL},
    };
    static const struct shape shape = {"a crew", fields, 3};
    struct load load = load_start(source, NULL, arena, diags);
    const struct node *root = load_open(&load, FILE_CREW);
    struct raw_crew raw = {NULL, NULL, ""};
    if (!root || !load_fields(&load, root, &shape, &raw))
        return NULL;
    struct crew *crew = arena_alloc(arena, sizeof *crew);
    crew->name = raw.name;
    crew->source = source;
    read_hands(&load, raw.hands, crew);
    return load_failed(&load) ? NULL : crew;
}
