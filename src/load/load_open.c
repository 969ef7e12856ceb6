/* What all our files share: a mapping that begins with `format: 1`. */
#include "load/internal.h"

#include <string.h>

struct file_words {
    const char *key; /* the one only this kind of file has */
    const char *what;
};

static const struct file_words files[] = {
    [FILE_RIG] = {"parts", "rig"},
    [FILE_PROCEDURE] = {"procedure", "procedure"},
    [FILE_CREW] = {"crew", "crew"},
    [FILE_BOAT] = {"boat", "boat"},
};

struct load load_start(const struct source *source, const struct rig_plan *plan,
                       struct arena *arena, struct diags *diags)
{
    return (struct load){.arena = arena,
                         .diags = diags,
                         .source = source,
                         .plan = plan,
                         .reports = diags_reports(diags)};
}

bool load_failed(const struct load *load)
{
    return diags_reports(load->diags) > load->reports;
}

static bool check_kind(struct load *load, const struct node *root, enum file_kind kind)
{
    if (node_get(root, files[kind].key))
        return true;
    for (int i = FILE_RIG; i <= FILE_BOAT; i++) {
        const struct node *other = node_get(root, files[i].key);
        if (!other)
            continue;
        diag_add(load->diags, MESSAGE_OTHER_FILE, other->key->where, files[i].what,
                 files[kind].what);
        return false;
    }
    return true;
}

static bool check_format(struct load *load, const struct node *root)
{
    const struct node *format = node_get(root, "format");
    if (!format || root->first != format)
        diag_add(load->diags, MESSAGE_FORMAT_FIRST,
                 format ? format->key->where : root->where);
    if (!format || (format->kind == NODE_TEXT && strcmp(format->text, "1") == 0))
        return true;
    diag_add(load->diags, MESSAGE_FORMAT, format->where,
             load_shown(load->arena, format->text));
    return false;
}

const struct node *load_open(struct load *load, enum file_kind kind)
{
    const struct node *root = yaml_tree_read(load->source, load->arena, load->diags);
    if (!root)
        return NULL;
    if (root->kind != NODE_MAP) {
        if (root->kind != NODE_BROKEN)
            diag_add(load->diags, MESSAGE_NOT_A_MAPPING, root->where);
        return NULL;
    }
    if (!check_kind(load, root, kind) || !check_format(load, root))
        return NULL;
    return root;
}
