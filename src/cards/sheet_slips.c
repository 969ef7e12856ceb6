/* What slips do, in the crew's words. */
#include "cards/sheet_vet.h"

#include "bill/bill.h"
#include "cards/slip_words.h"
#include "cards/words.h"

#include <string.h>

enum { LINE_MAX_COLUMNS = 78 };

void sheet_add_item(struct text *out, const char *between, const char *item)
{
    size_t line = out->length;
    while (line > 0 && out->at[line - 1] != '\n')
        line--;
    text_add(out, between);
    if (out->length - line + strlen(item) > LINE_MAX_COLUMNS) {
        while (out->length && out->at[out->length - 1] == ' ')
            out->at[--out->length] = '\0';
        text_add(out, "\n      ");
    }
    text_add(out, item);
}

static void add_begin(const struct rig *rig, const struct slip *slip, struct text *out)
{
    struct condition is = {.part = slip->step, .values = (value_set)1 << slip->other};
    text_add(out, slip_unasked(rig, slip) ? "begins, AND NO CHECK ASKS, with "
                                          : "begins with ");
    words_condition(rig->plan, &is, out);
}

/* The end of a sentence that begins with "starts". */
static void add_start(const struct rig *rig, const struct slip *slip, struct text *out)
{
    const struct procedure *procedure = rig->procedure;
    if (slip->kind == SLIP_AFTER)
        text_printf(out, " without \"%s\"", procedure->steps[slip->other].name);
    else if (slip->kind == SLIP_NEED)
        text_add(out, " not looking whether it may");
    else if (slip->kind == SLIP_SOON)
        text_add(out, " with no cue at all");
    else {
        text_add(out, " not waiting until ");
        words_condition(rig->plan, &procedure->steps[slip->step].wait.at[slip->other],
                        out);
    }
}

void sheet_add_slip(const struct rig *rig, const struct slip *slip, struct text *out)
{
    if (slip->kind == SLIP_BEGIN) {
        add_begin(rig, slip, out);
        return;
    }
    text_add(out, slip->kind == SLIP_OMIT   ? "forgets "
                  : slip->kind == SLIP_SWAP ? "does "
                                            : "starts ");
    words_whose_step(rig, slip->step, out);
    if (slip->kind == SLIP_SWAP)
        text_printf(out, " before \"%s\"", rig->procedure->steps[slip->other].name);
    else if (slip->kind != SLIP_OMIT)
        add_start(rig, slip, out);
}

static void add_hurting(const struct rig *rig, const struct slip *slip, struct text *out)
{
    text_add(out, "    ");
    sheet_add_slip(rig, slip, out);
    if (slip->outcome == VET_BROKEN) {
        text_printf(out, ", %u moves: ", slip->events);
        bill_say_finding(&slip->finding, rig, NULL, NULL, out);
    }
    text_add(out, "\n");
}

static int rank(const struct slip *slip)
{
    static const int ranks[] = {[VET_SAFE] = 0,
                                [VET_STALL] = 1,
                                [VET_WRONG_END] = 2,
                                [VET_UNDECIDED] = 3,
                                [VET_BROKEN] = 4};
    return ranks[slip->outcome];
}

/* The worse of two slips, NULL being none; of two that hurt as the must-not-miss list
 * ranks them. */
static const struct slip *worse(const struct slip *a, const struct slip *b)
{
    if (!a || !b)
        return a ? a : b;
    if (rank(a) != rank(b))
        return rank(a) > rank(b) ? a : b;
    if (a->signal != b->signal)
        return a->signal > b->signal ? a : b;
    return b->events < a->events ? b : a;
}

static const struct slip *worst_of(const struct slips *slips, int step,
                                   unsigned kinds) /* bits 1 << kind */
{
    const struct slip *worst = NULL;
    for (int i = 0; i < slips->count; i++) {
        const struct slip *slip = &slips->at[i];
        if (slip->kind != SLIP_BEGIN && slip->step == step && kinds >> slip->kind & 1)
            worst = worse(worst, slip);
    }
    return worst;
}

static void add_cell(const struct slip *slip, struct text *out)
{
    static const char *const words[] = {"harmless", "hurts", "stalls", "ends wrong",
                                        "undecided"};
    if (slip && slip->outcome == VET_BROKEN)
        text_printf(out, " hurts %-5u", slip->events);
    else
        text_printf(out, " %-11s",
                    !slip          ? "-"
                    : slip->barred ? "barred"
                                   : words[slip->outcome]);
}

/* The name of what the worst slip of a step breaks. */
static void add_broken(const struct rig *rig, const struct slip *slip, struct text *out)
{
    static const char *const words[] = {
        [FINDING_NEED] = "its own need", [FINDING_HANDS] = "two hands",
        [FINDING_PLACE] = "place",       [FINDING_GEAR] = "shared gear",
        [FINDING_HELM] = "helm",         [FINDING_TAKEN] = "another's line"};
    if (!slip || slip->outcome != VET_BROKEN)
        return;
    text_add(out, " ");
    if (slip->finding.kind == FINDING_RULE)
        text_add(out, rig->procedure->rules.at[slip->finding.index].name);
    else
        text_add(out, words[slip->finding.kind]);
}

static void add_row(const struct rig *rig, const struct slips *slips, int step,
                    struct text *out)
{
    static const unsigned columns[] = {1u << SLIP_OMIT, 1u << SLIP_SWAP,
                                       1u << SLIP_AFTER | 1u << SLIP_WAIT,
                                       1u << SLIP_SOON};
    const struct slip *worst = NULL;
    size_t from = out->length;
    text_printf(out, "    %-18s", rig->procedure->steps[step].name);
    for (size_t c = 0; c < sizeof columns / sizeof columns[0]; c++) {
        const struct slip *slip = worst_of(slips, step, columns[c]);
        add_cell(slip, out);
        worst = worse(worst, slip);
    }
    add_broken(rig, worst, out);
    while (out->length > from && out->at[out->length - 1] == ' ')
        out->at[--out->length] = '\0';
    text_add(out, "\n");
}

static void add_table(const struct rig *rig, const struct slips *slips, struct text *out)
{
    text_add(out, "  what comes of a slip, and after how many moves it hurts:\n");
    text_printf(out, "    %-18s %-11s %-11s %-11s %-11s %s\n", "step", "forgotten",
                "swapped", "a cue", "all cues", "breaks");
    for (int s = 0; s < rig->procedure->step_count; s++)
        add_row(rig, slips, s, out);
    text_add(out,
             "    (swapped: done before the line above it on the card of its hand;\n"
             "    barred: its arrows rule that out; cues: after and wait, ignored)\n");
}

/* How many single slips have that outcome. */
static int count_outcome(const struct slips *slips, enum vet_verdict outcome)
{
    int count = 0;
    for (int i = 0; i < slips->count; i++)
        count += slip_is_single(&slips->at[i]) && slips->at[i].outcome == outcome;
    return count;
}

static void add_group(const struct rig *rig, const struct slips *slips,
                      enum vet_verdict outcome, const char *title, struct text *out)
{
    int at_once = 0, count = count_outcome(slips, outcome);
    if (!count)
        return;
    text_printf(out, "  %d %s\n", count, title);
    for (int i = 0; i < slips->count && outcome != VET_STALL; i++) {
        const struct slip *slip = &slips->at[i];
        if (slip->outcome != outcome || !slip_is_single(slip))
            continue;
        at_once += slip->seen;
        if (!slip->seen)
            add_hurting(rig, slip, out);
    }
    if (at_once)
        text_printf(out, "    %d begins are wrong at once: seen before the go\n",
                    at_once);
}

static void add_must_not_miss(const struct rig *rig, const struct slips *slips,
                              struct text *out)
{
    uint8_t steps[STEPS_MAX];
    int count = slips_must_not_miss(slips, steps);
    if (count)
        text_add(out, "  must not be missed: ");
    for (int i = 0; i < count; i++) {
        struct text item = {0};
        words_whose_step(rig, steps[i], &item);
        sheet_add_item(out, i ? ", " : "", item.at);
        text_free(&item);
    }
    text_add(out, count ? "\n" : "");
}

static void add_pairs(const struct rig *rig, const struct slip_pairs *pairs,
                      struct text *out)
{
    text_printf(out, "  %d pairs of slips; %d hurt where neither hurts alone\n",
                pairs->tried, pairs->hurting);
    for (int i = 0; i < pairs->count; i++) {
        text_add(out, "    ");
        sheet_add_slip(rig, &pairs->at[i].a, out);
        text_add(out, " and ");
        sheet_add_slip(rig, &pairs->at[i].b, out);
        text_add(out, ": ");
        bill_say_finding(&pairs->at[i].finding, rig, NULL, NULL, out);
        text_add(out, "\n");
    }
    if (pairs->hurting > pairs->count)
        text_printf(out, "    and %d more\n", pairs->hurting - pairs->count);
}

void sheet_vet_slips(const struct rig *rig, const struct slips *slips,
                     const struct slip_pairs *pairs, struct text *out)
{
    int singles = 0;
    for (int i = 0; i < slips->count; i++)
        singles += slip_is_single(&slips->at[i]);
    text_printf(out, "  %d single slips, %d do nothing\n", singles,
                count_outcome(slips, VET_SAFE));
    if (slips->left_out)
        text_printf(out, "  %d more were NOT tried: too many for one procedure\n",
                    slips->left_out);
    if (slips->cut || (pairs && pairs->cut))
        text_add(out, "  not all was tried or kept: rules may take fewer slips\n");
    add_table(rig, slips, out);
    add_group(rig, slips, VET_BROKEN, "hurt", out);
    add_group(rig, slips, VET_STALL, "only stall: everybody notices", out);
    add_group(rig, slips, VET_WRONG_END, "end wrong", out);
    add_group(rig, slips, VET_UNDECIDED, "are undecided", out);
    if (pairs)
        add_pairs(rig, pairs, out);
    sheet_add_guards(rig, slips, pairs, out);
    add_must_not_miss(rig, slips, out);
}
