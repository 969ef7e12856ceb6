/* YAML text as a tree of scalars, lists and mappings, each with its place.  All scalars
 * are text: what `no` or `12 kn` means is the field's business.  What our formats do
 * without is refused here: anchors, aliases, tags, merge keys, several documents,
 * duplicate keys.  The tree lives in the arena. */
#ifndef LOAD_YAML_TREE_H
#define LOAD_YAML_TREE_H

#include "base/diag.h"

enum node_kind {
    NODE_TEXT,
    NODE_LIST,
    NODE_MAP,
    NODE_BROKEN /* reported already; readers pass over it */
};

struct node {
    enum node_kind kind;
    bool quoted; /* of text: written in quotes or as a block */
    struct span where;
    const char *text;       /* of NODE_TEXT, else "" */
    const struct node *key; /* of an entry of a mapping */
    const struct node *first, *next;
    uint32_t count; /* items or entries */
};

/* The tree of SOURCE; NULL where nothing can be read, which is then in DIAGS.  A tree may
 * come with errors too: refused things are left out of it. */
const struct node *yaml_tree_read(const struct source *source, struct arena *arena,
                                  struct diags *diags);

/* The value of KEY in a mapping; NULL where there is none. */
const struct node *node_get(const struct node *map, const char *key);

/* One value or a list of them, taken as a list: its first item and the one after ITEM. */
const struct node *node_first_item(const struct node *node);
const struct node *node_next_item(const struct node *node, const struct node *item);

#endif
