#include "cards/sheet_why.h"

#include "bill/bill.h"
#include "cards/words.h"

void scene_play(struct scene *scene, const struct rig *rig, const struct vet_found *found,
                bool mended)
{
    *scene = (struct scene){rig, found, found->begin, found->begin, -1, mended};
    for (int i = 0; i < found->way_count; i++) {
        scene->before = scene->now;
        scene->last = found->way[i].step;
        if (found->way[i].finish)
            rig_end(rig, &scene->now, scene->last);
        else
            rig_begin(rig, &scene->now, scene->last);
    }
}

static const struct effects *effects_of(const struct rig *rig, struct vet_event event)
{
    const struct step *step = &rig->procedure->steps[event.step];
    return event.finish ? &step->finish : &step->start;
}

/* EFFECTS give the part of WANTED one of its values. */
static bool brings(const struct effects *effects, const struct condition *wanted)
{
    for (int i = 0; i < effects->count; i++)
        if (effects->at[i].part == wanted->part)
            return wanted->values >> effects->at[i].value & 1;
    return false;
}

static bool step_brings(const struct step *step, const struct condition *wanted)
{
    return brings(&step->start, wanted) || brings(&step->finish, wanted);
}

/* The last event of the way that gave the part of WANTED one of its values; -1: none. */
static int last_bringer(const struct scene *scene, const struct condition *wanted)
{
    for (int i = scene->found->way_count - 1; i >= 0; i--)
        if (brings(effects_of(scene->rig, scene->found->way[i]), wanted))
            return scene->found->way[i].step;
    return -1;
}

static value_set all_values(const struct rig *rig, int part)
{
    return (value_set)(((uint64_t)1 << rig->plan->parts[part].value_count) - 1);
}

static int last_changer(const struct scene *scene, int part)
{
    struct condition any = {.part = (uint8_t)part,
                            .values = all_values(scene->rig, part)};
    return last_bringer(scene, &any);
}

static struct condition as_it_is(const struct scene *scene, int part)
{
    return (struct condition){.part = (uint8_t)part,
                              .values = (value_set)1 << scene->now.part[part]};
}

static const char *in_the_file(const char *name, const char *alias)
{
    return *alias ? alias : name;
}

/* The line as an author would write it: "jaw: open". */
static void add_setting(const struct rig_plan *plan, const struct condition *wanted,
                        struct text *out)
{
    const struct part *part = &plan->parts[wanted->part];
    text_printf(out, "%s: ", in_the_file(part->name, part->alias));
    for (int v = 0; v < part->value_count; v++)
        if (wanted->values >> v & 1) {
            text_add(out, in_the_file(part->values[v].name, part->values[v].alias));
            return;
        }
}

static step_set bringers(const struct rig *rig, const struct condition *wanted)
{
    step_set found = 0;
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (step_brings(&rig->procedure->steps[s], wanted))
            found |= (step_set)1 << s;
    return found;
}

static void add_steps(const struct rig *rig, step_set steps, struct text *out)
{
    const char *between = "";
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (steps >> s & 1) {
            text_add(out, between);
            words_whose_step(rig, s, out);
            between = ", ";
        }
}

/* Steps done on the way that leave everything as it was: a line may be missing there. */
static step_set idle_steps(const struct scene *scene)
{
    step_set idle = 0;
    for (int s = 0; s < scene->rig->procedure->step_count; s++) {
        const struct step *step = &scene->rig->procedure->steps[s];
        if (scene->now.done >> s & 1 && !step->start.count && !step->finish.count &&
            !step->tends.count && !step->takes_over.count && !step->releases &&
            !step->hands_over)
            idle |= (step_set)1 << s;
    }
    return idle;
}

/* Where the line is missing that brings WANTED about, as far as that can be told: in a
 * step that changes nothing, else in the last one that changed it to something else. */
static void add_missing(const struct scene *scene, const struct condition *wanted,
                        struct text *out)
{
    step_set idle = idle_steps(scene);
    int changer = last_changer(scene, wanted->part);
    if (idle) {
        text_add(out, "    nothing is changed by ");
        add_steps(scene->rig, idle, out);
        text_add(out, ": is a line missing there, such as\n");
    } else if (changer >= 0) {
        text_add(out, "    is a line missing in ");
        words_whose_step(scene->rig, changer, out);
        text_add(out, ", such as\n");
    } else {
        text_add(out, "    is a line missing in some step before, such as\n");
    }
    text_add(out, "      finish: {");
    add_setting(scene->rig->plan, wanted, out);
    text_add(out, "}\n");
}

/* How the part of WANTED stands instead, since when, and who would still change that. */
static void add_standing(const struct scene *scene, const struct condition *wanted,
                         struct text *out)
{
    const struct rig *rig = scene->rig;
    struct condition is = as_it_is(scene, wanted->part);
    step_set all = bringers(rig, wanted);
    step_set to_come = all & ~(scene->now.done | scene->now.skipped);
    int changer = last_changer(scene, wanted->part);
    if (scene->last >= 0)
        to_come &= ~((step_set)1 << scene->last);
    text_add(out, "  ");
    words_condition(rig->plan, &is, out);
    text_add(out, changer >= 0 ? ": so since " : ": so from the begin");
    if (changer >= 0)
        words_whose_step(rig, changer, out);
    if (to_come) {
        text_add(out, "; still to come: ");
        add_steps(rig, to_come, out);
    } else if (!all && !scene->mended) {
        text_add(out, ", and no step sees to that");
    } else if (all) {
        text_add(out, "; too soon was ");
        add_steps(rig, all, out);
    }
    text_add(out, "\n");
    if (!scene->mended && (!all || idle_steps(scene)))
        add_missing(scene, wanted, out);
}

static bool tends(const struct step *step, int line)
{
    for (int i = 0; i < step->tends.count; i++)
        if (step->tends.at[i].line == line)
            return true;
    for (int i = 0; i < step->takes_over.count; i++)
        if (step->takes_over.at[i].line == line)
            return true;
    return false;
}

/* The last event of the way by which LINE was let go; -1: none. */
static int let_go_by(const struct scene *scene, int line)
{
    for (int i = scene->found->way_count - 1; i >= 0; i--) {
        const struct vet_event *event = &scene->found->way[i];
        const struct step *step = &scene->rig->procedure->steps[event->step];
        if (event->finish && (step->releases | step->hands_over) >> line & 1)
            return event->step;
    }
    return -1;
}

static void add_missing_hold(const struct scene *scene, int line, struct text *out)
{
    const struct part *part = &scene->rig->plan->parts[line];
    struct condition is = as_it_is(scene, line);
    int holder = last_bringer(scene, &is);
    text_add(out, "    is a line missing ");
    if (holder >= 0) {
        text_add(out, "in ");
        words_whose_step(scene->rig, holder, out);
    } else {
        text_add(out, "at the begin");
    }
    text_printf(out,
                holder >= 0 ? ", such as\n      tends: %s\n"
                            : ", such as\n      tended: {%s: ...}\n",
                in_the_file(part->name, part->alias));
}

/* Who let LINE go, who is still to take it, or that nobody does. */
static void add_untended(const struct scene *scene, int line, struct text *out)
{
    const struct rig *rig = scene->rig;
    step_set to_come = 0;
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (tends(&rig->procedure->steps[s], line) && !(scene->now.begun >> s & 1))
            to_come |= (step_set)1 << s;
    int let_go = let_go_by(scene, line);
    text_printf(out, "  %s in nobody's hand", rig->plan->parts[line].words);
    if (let_go >= 0) {
        text_add(out, ": let go in ");
        words_whose_step(rig, let_go, out);
    }
    if (to_come) {
        text_add(out, "; still to come: ");
        add_steps(rig, to_come, out);
    }
    text_add(out, "\n");
    if (let_go < 0 && !to_come && !scene->mended)
        add_missing_hold(scene, line, out);
}

static bool atom_is_so(const struct scene *scene, const struct atom *atom)
{
    const struct rig_state *state = &scene->now;
    step_set bit = (step_set)1 << (atom->index & 63);
    switch (atom->kind) {
    case ATOM_PART:
        return atom->values >> state->part[atom->index] & 1;
    case ATOM_RUNNING:
        return (rig_running(state) & bit) != 0;
    case ATOM_BEGUN:
        return (state->begun & bit) != 0;
    case ATOM_UNMADE:
        return !(state->done & bit);
    case ATOM_UNTENDED:
        return state->tender[atom->index] < 0;
    case ATOM_ENDED:
        return rig_ended(scene->rig, state);
    default:
        return false; /* of a rule that asks at an event */
    }
}

/* Atom by atom what would have to be otherwise; what the last event itself has brought
 * about is the move that does it and goes without saying. */
static void add_atom(const struct scene *scene, const struct atom *atom, struct text *out)
{
    struct condition is = {.part = atom->index, .values = atom->values}, wanted = is;
    const struct vet_found *found = scene->found;
    switch (atom->kind) {
    case ATOM_PART:
        wanted.values = all_values(scene->rig, is.part) & ~is.values;
        if (!found->way_count ||
            !brings(effects_of(scene->rig, found->way[found->way_count - 1]), &is))
            add_standing(scene, &wanted, out);
        break;
    case ATOM_UNTENDED:
        add_untended(scene, atom->index, out);
        break;
    case ATOM_RUNNING:
    case ATOM_UNMADE:
        if (atom->index != scene->last) {
            text_add(out, "  not made yet: ");
            words_whose_step(scene->rig, atom->index, out);
            text_add(out, ".\n");
        }
        break;
    default:
        break;
    }
}

static void add_rule(const struct scene *scene, const struct rule *rule, struct text *out)
{
    for (int c = 0; c < rule->clause_count; c++) {
        const struct clause *clause = &rule->clauses[c];
        bool holds = true;
        for (int i = 0; i < clause->count; i++)
            holds &= atom_is_so(scene, &clause->atoms[i]);
        for (int i = 0; holds && i < clause->count; i++)
            add_atom(scene, &clause->atoms[i], out);
        if (holds)
            return;
    }
}

/* The conditions that do not hold in STATE, as they are or as they are wanted. */
static void add_unmet(const struct scene *scene, const struct rig_state *state,
                      const struct conditions *conditions, bool wanted, struct text *out)
{
    const char *between = "";
    for (int i = 0; i < conditions->count; i++) {
        const struct condition *c = &conditions->at[i];
        struct condition is = {.part = c->part,
                               .values = (value_set)1 << state->part[c->part]};
        if (is.values & c->values)
            continue;
        text_add(out, between);
        words_condition(scene->rig->plan, wanted ? c : &is, out);
        between = ", ";
    }
}

static void add_standings(const struct scene *scene, const struct rig_state *state,
                          const struct conditions *conditions, struct text *out)
{
    for (int i = 0; i < conditions->count; i++)
        if (!(conditions->at[i].values >> state->part[conditions->at[i].part] & 1))
            add_standing(scene, &conditions->at[i], out);
}

/* Since when LINE is in a hand. */
static void add_since(const struct scene *scene, const struct rig_state *state, int line,
                      struct text *out)
{
    text_add(out, ", since ");
    if (state->tending[line] < STEPS_MAX)
        words_whose_step(scene->rig, state->tending[line], out);
    else
        text_add(out, "the begin");
}

static void add_taken(const struct scene *scene, int line, struct text *out)
{
    const struct part *part = &scene->rig->plan->parts[line];
    const char *name = in_the_file(part->name, part->alias);
    text_printf(out, "  in another's hand: %s", part->words);
    add_since(scene, &scene->before, line, out);
    text_printf(out,
                "; given from hand to hand it is two lines:\n    hands-over: %s, in a "
                "step of the one, and takes-over: %s, of the other\n",
                name, name);
}

/* Where a line is missing that lets LINE go: in the step of LANE that changed it last. */
static void add_missing_release(const struct scene *scene, int lane, int line,
                                struct text *out)
{
    const struct part *part = &scene->rig->plan->parts[line];
    int changer = last_changer(scene, line);
    bool own = changer >= 0 && scene->rig->lanes_of_step[changer] >> lane & 1;
    text_add(out, "    is a line missing in ");
    if (own)
        words_whose_step(scene->rig, changer, out);
    else
        text_add(out, "a step before");
    text_printf(out, ", such as\n      releases: %s\n",
                in_the_file(part->name, part->alias));
}

/* What LANE has in hand and since when, and what it works at. */
static void add_hands(const struct scene *scene, int lane, struct text *out)
{
    const struct rig *rig = scene->rig;
    part_set lines = rig_holds_lines(rig, &scene->now, lane);
    step_set running = rig_running(&scene->now);
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (running >> s & 1 && rig->lanes_of_step[s] >> lane & 1) {
            text_add(out, "  at work: ");
            words_whose_step(rig, s, out);
            text_printf(out, ", with %s, at the %s\n",
                        rig_step_hands(rig, lane, s) > 1 ? "both hands" : "one hand",
                        rig->plan->stations[rig->procedure->steps[s].at].words);
        }
    for (int line = 0; line < rig->plan->part_count; line++) {
        if (!(lines >> line & 1) || scene->now.tending[line] == scene->last)
            continue;
        text_printf(out, "  in hand: %s", rig->plan->parts[line].words);
        add_since(scene, &scene->now, line, out);
        text_add(out, "\n");
        if (!scene->mended)
            add_missing_release(scene, lane, line, out);
    }
}

static void add_finding(const struct scene *scene, struct text *out)
{
    const struct finding *finding = &scene->found->finding;
    const struct procedure *procedure = scene->rig->procedure;
    switch (finding->kind) {
    case FINDING_RULE:
        add_rule(scene, &procedure->rules.at[finding->index], out);
        break;
    case FINDING_NEED:
        add_standings(scene, &scene->before, &procedure->steps[finding->index].need, out);
        break;
    case FINDING_HANDS:
    case FINDING_PLACE:
    case FINDING_HELM:
        add_hands(scene, finding->index, out);
        break;
    case FINDING_TAKEN:
        add_taken(scene, finding->other, out);
        break;
    case FINDING_GEAR:
        break;
    }
}

/* Nobody who is still to do something can bring WANTED about. */
static bool is_hopeless(const struct scene *scene, const struct condition *wanted)
{
    return !(wanted->values >> scene->now.part[wanted->part] & 1) &&
           !(bringers(scene->rig, wanted) & ~scene->now.begun & ~scene->now.skipped);
}

static bool waits_in_vain(const struct scene *scene, int step)
{
    const struct conditions *wait = &scene->rig->procedure->steps[step].wait;
    for (int i = 0; i < wait->count; i++)
        if (is_hopeless(scene, &wait->at[i]))
            return true;
    return false;
}

/* The steps next on somebody's card, of hands that are free. */
static step_set next_ones(const struct scene *scene)
{
    step_set next = 0;
    for (int s = 0; s < scene->rig->procedure->step_count; s++) {
        struct rig_block block = rig_blocked(scene->rig, &scene->now, s);
        if (!((scene->now.begun | scene->now.skipped) >> s & 1) && !block.card &&
            !block.busy)
            next |= (step_set)1 << s;
    }
    return next;
}

/* TOLD: the parts of which the reason is told already. */
static void add_waiting(const struct scene *scene, int s, part_set *told,
                        struct text *out)
{
    const struct rig *rig = scene->rig;
    const struct conditions *wait = &rig->procedure->steps[s].wait;
    struct rig_block block = rig_blocked(rig, &scene->now, s);
    text_add(out, "  ");
    words_whose_step(rig, s, out);
    text_add(out, " waits");
    const char *between = " until ";
    for (int i = 0; i < wait->count; i++)
        if (block.waits >> i & 1) {
            text_add(out, between);
            words_condition(rig->plan, &wait->at[i], out);
            between = ", and until ";
        }
    if (block.after | block.after_started) {
        text_add(out, " for ");
        add_steps(rig, block.after | block.after_started, out);
    }
    text_add(out, "\n");
    for (int i = 0; i < wait->count; i++) {
        part_set part = (part_set)1 << wait->at[i].part;
        if (is_hopeless(scene, &wait->at[i]) && !(*told & part))
            add_standing(scene, &wait->at[i], out);
        *told |= part;
    }
}

/* The givers whose line nobody takes. */
static void add_givers(const struct scene *scene, struct text *out)
{
    const struct rig *rig = scene->rig;
    step_set running = rig_running(&scene->now);
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (running >> s & 1) {
            text_add(out, "  ");
            words_whose_step(rig, s, out);
            text_add(out, " cannot let go before ");
            add_steps(rig, rig_takers(rig, s) & ~scene->now.done, out);
            text_add(out, "\n");
        }
}

/* Those who wait for what can never come, with the reason; the others wait for them.
 * Where there are none they wait for one another, and all are told. */
static void add_stall(const struct scene *scene, struct text *out)
{
    const struct rig *rig = scene->rig;
    step_set next = next_ones(scene), vain = 0;
    part_set told = 0;
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (next >> s & 1 && waits_in_vain(scene, s))
            vain |= (step_set)1 << s;
    step_set roots = vain ? vain : next;
    for (int s = 0; s < rig->procedure->step_count; s++)
        if (roots >> s & 1)
            add_waiting(scene, s, &told, out);
    if (next & ~roots) {
        text_add(out, "  and behind that wait ");
        add_steps(rig, next & ~roots, out);
        text_add(out, "\n");
    }
    add_givers(scene, out);
}

void sheet_headline(const struct scene *scene, struct text *out)
{
    const struct rig *rig = scene->rig;
    const struct finding *finding = &scene->found->finding;
    if (scene->found->kind == VET_STALL) {
        text_add(out, "SOMEBODY WAITS FOR EVER");
    } else if (scene->found->kind == VET_WRONG_END) {
        text_add(out, "ENDS WRONG: ");
        add_unmet(scene, &scene->now, &rig->procedure->goal, false, out);
        text_add(out, "; the goal is ");
        add_unmet(scene, &scene->now, &rig->procedure->goal, true, out);
    } else if (finding->kind == FINDING_NEED) {
        const struct step *step = &rig->procedure->steps[finding->index];
        words_whose_step(rig, finding->index, out);
        text_add(out, " starts while ");
        add_unmet(scene, &scene->before, &step->need, false, out);
        text_add(out, "; it needs ");
        add_unmet(scene, &scene->before, &step->need, true, out);
    } else {
        bill_say_finding(finding, rig, NULL, NULL, out);
    }
    text_add(out, "\n");
}

void sheet_why(const struct scene *scene, struct text *out)
{
    switch (scene->found->kind) {
    case VET_BROKEN:
        add_finding(scene, out);
        break;
    case VET_STALL:
        add_stall(scene, out);
        break;
    case VET_WRONG_END:
        add_standings(scene, &scene->now, &scene->rig->procedure->goal, out);
        break;
    default:
        break;
    }
}
