/* What vet found: the danger, why, the shortest way to it and the line that mends it. */
#include "cards/sheet_vet.h"

#include "cards/sheet_why.h"
#include "cards/words.h"

#include <string.h>

static void add_place(const struct span *where, struct text *out)
{
    if (where->source)
        text_printf(out, " (%s:%u)", where->source->name, where->line);
}

static void add_step_there(const struct rig *rig, int step, struct text *out)
{
    words_whose_step(rig, step, out);
    add_place(&rig->procedure->steps[step].where, out);
}

/* The steps finished on the way in order, then those running, the last event apart. */
static void add_way(const struct rig *rig, const struct vet_found *found,
                    struct text *out)
{
    const struct vet_event *last = found->way_count && found->kind == VET_BROKEN
                                       ? &found->way[found->way_count - 1]
                                       : NULL; /* the move that does it */
    step_set running = found->begin.begun & ~found->begin.done;
    text_printf(out, "  the shortest way there, %u move%s:\n", found->way_count,
                found->way_count == 1 ? "" : "s");
    for (int i = 0; i < found->way_count; i++) {
        running ^= (step_set)1 << found->way[i].step;
        if (!found->way[i].finish || &found->way[i] == last)
            continue;
        text_add(out, "    done:     ");
        words_whose_step(rig, found->way[i].step, out);
        text_add(out, "\n");
    }
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (running >> s & 1 && !(last && last->step == s)) {
            text_add(out, "    doing:    ");
            words_whose_step(rig, s, out);
            text_add(out, "\n");
        }
    if (!last)
        return;
    text_add(out, last->finish ? "    FINISHES: " : "    STARTS:   ");
    add_step_there(rig, last->step, out);
    text_add(out, "\n");
}

/* Which is told first: rules by their signal word, then needs by that of their step, then
 * hands and places, then who waits, then where it ends; the nearer first. */
static int rank(const struct rig *rig, const struct vet_found *found)
{
    const struct procedure *procedure = rig->procedure;
    const struct finding *finding = &found->finding;
    if (found->kind != VET_BROKEN)
        return found->kind == VET_STALL ? 1 : 0;
    if (finding->kind == FINDING_RULE)
        return 20 + (int)procedure->rules.at[finding->index].signal;
    if (finding->kind == FINDING_NEED)
        return 10 + (int)procedure->steps[finding->index].warn.signal;
    return 2;
}

static bool comes_first(const struct rig *rig, const struct vet_found *a,
                        const struct vet_found *b)
{
    int first = rank(rig, a), second = rank(rig, b);
    return first != second ? first > second : a->way_count < b->way_count;
}

static void sort(const struct rig *rig, const struct vet_report *report,
                 uint8_t order[VET_FOUND_MAX])
{
    for (int i = 0; i < report->found_count; i++) {
        int at = i;
        for (;
             at > 0 && comes_first(rig, &report->found[i], &report->found[order[at - 1]]);
             at--)
            order[at] = order[at - 1];
        order[at] = (uint8_t)i;
    }
}

/* The same moves, in whatever order, with the same one last. */
static bool same_way(const struct vet_found *a, const struct vet_found *b)
{
    step_set moves[2][2] = {{0}};
    if (a->way_count != b->way_count ||
        memcmp(&a->begin, &b->begin, sizeof a->begin) != 0)
        return false;
    for (int i = 0; i < a->way_count; i++) {
        moves[0][a->way[i].finish] |= (step_set)1 << a->way[i].step;
        moves[1][b->way[i].finish] |= (step_set)1 << b->way[i].step;
    }
    int last = a->way_count - 1;
    return memcmp(moves[0], moves[1], sizeof moves[0]) == 0 &&
           (last < 0 || (a->way[last].step == b->way[last].step &&
                         a->way[last].finish == b->way[last].finish));
}

/* All that is found at the end of one way. */
struct group {
    const struct rig *rig;
    const struct vet_report *report;
    const struct vet_mend *mends;
    uint8_t at[VET_FOUND_MAX];
    int count;
};

static void play(const struct group *group, int i, struct scene *scene)
{
    scene_play(scene, group->rig, &group->report->found[group->at[i]],
               group->mends[group->at[i]].first >= 0);
}

/* The danger: of a step that starts without its need, where no rule tells it, the step's
 * own warning. */
static void add_headlines(const struct group *group, struct text *out)
{
    bool rule = false;
    for (int i = 0; i < group->count; i++) {
        const struct finding *finding = &group->report->found[group->at[i]].finding;
        const struct step *steps = group->rig->procedure->steps;
        struct scene scene;
        play(group, i, &scene);
        rule |= finding->kind == FINDING_RULE;
        if (finding->kind == FINDING_NEED && !rule && steps[finding->index].warn.signal)
            text_printf(out, "%s: %s\n", signal_name(steps[finding->index].warn.signal),
                        steps[finding->index].warn.say);
        sheet_headline(&scene, out);
    }
}

/* The reasons, each once. */
static void add_reasons(const struct group *group, struct text *out)
{
    size_t first = out->length;
    for (int i = 0; i < group->count; i++) {
        size_t from = out->length;
        struct scene scene;
        play(group, i, &scene);
        sheet_why(&scene, out);
        if (out->length > from &&
            strstr(out->at + first, out->at + from) < out->at + from) {
            out->length = from;
            out->at[from] = '\0';
        }
    }
}

static void add_mend(const struct rig *rig, const struct vet_mend *mend, struct text *out)
{
    const struct step *then = &rig->procedure->steps[mend->then];
    text_add(out, "  nothing makes ");
    words_whose_step(rig, mend->then, out);
    text_add(out, " wait for ");
    words_whose_step(rig, mend->first, out);
    text_printf(out, ".\n  one line mends it: in step %s, after: [%s%s]", then->name,
                then->after | then->after_started ? "..., " : "",
                rig->procedure->steps[mend->first].name);
    add_place(then->after_where.source ? &then->after_where : &then->where, out);
    text_add(out, mend->all ? "; tried: then it is safe in every order.\n"
                            : "; tried: that goes, and nothing new breaks.\n");
}

/* The arrows that mend it; one that mends all is told behind what is worst.  REASONS name
 * the line that is missing where no arrow does. */
static void add_mends(const struct group *group, bool first, const char *reasons,
                      struct text *out)
{
    bool named = strstr(reasons, "is a line missing") != NULL;
    for (int i = 0; i < group->count; i++) {
        const struct vet_mend *mend = &group->mends[group->at[i]];
        bool told = mend->all && (!first || i > 0);
        for (int j = 0; j < i; j++)
            told |= group->mends[group->at[j]].first == mend->first;
        if (!told && mend->first >= 0)
            add_mend(group->rig, mend, out);
        else if (!told && !named)
            text_add(out, "  no single 'after' mends it.\n");
    }
}

void sheet_vet_found(const struct rig *rig, const struct vet_report *report,
                     const struct vet_mend *mends, struct text *out)
{
    uint8_t order[VET_FOUND_MAX];
    bool told[VET_FOUND_MAX] = {false};
    sort(rig, report, order);
    for (int i = 0; i < report->found_count; i++) {
        struct group group = {.rig = rig, .report = report, .mends = mends};
        for (int j = i; j < report->found_count && !told[i]; j++)
            if (!told[j] &&
                same_way(&report->found[order[i]], &report->found[order[j]])) {
                group.at[group.count++] = order[j];
                told[j] = j > i;
            }
        if (!group.count)
            continue;
        size_t from = out->length;
        add_headlines(&group, out);
        add_reasons(&group, out);
        add_way(rig, &report->found[order[i]], out);
        add_mends(&group, i == 0, out->at + from, out);
    }
}

static void add_way_json(const struct rig *rig, const struct vet_found *found,
                         struct json *json)
{
    json_open(json, "way", '[');
    for (int i = 0; i < found->way_count; i++) {
        json_open(json, NULL, '{');
        json_string(json, found->way[i].finish ? "finishes" : "starts",
                    rig->procedure->steps[found->way[i].step].name);
        json_close(json, '}');
    }
    json_close(json, ']');
}

static void add_mend_json(const struct rig *rig, const struct vet_mend *mend,
                          struct json *json)
{
    if (mend->first < 0) {
        json_null(json, "mend");
        return;
    }
    const struct step *then = &rig->procedure->steps[mend->then];
    json_open(json, "mend", '{');
    json_string(json, "step", then->name);
    json_string(json, "after", rig->procedure->steps[mend->first].name);
    json_integer(json, "line", then->where.line);
    json_bool(json, "safe", mend->all);
    json_close(json, '}');
}

void sheet_found_json(const struct rig *rig, const struct vet_report *report,
                      const struct vet_mend *mends, struct json *json)
{
    struct scene scene;
    json_open(json, "found", '[');
    for (int i = 0; i < report->found_count; i++) {
        struct text words = {0};
        scene_play(&scene, rig, &report->found[i], mends[i].first >= 0);
        sheet_headline(&scene, &words);
        words.at[words.length - 1] = '\0';
        json_open(json, NULL, '{');
        json_string(json, "kind", vet_verdict_name(report->found[i].kind));
        json_string(json, "what", words.at);
        json_integer(json, "moves", report->found[i].way_count);
        add_way_json(rig, &report->found[i], json);
        add_mend_json(rig, &mends[i], json);
        json_close(json, '}');
        text_free(&words);
    }
    json_close(json, ']');
}
