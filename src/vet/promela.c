#include "vet/promela.h"

static void add_not_settled(struct text *out, int step)
{
    text_printf(out, " && (d%d || k%d)", step, step);
}

/* Everything of CARD before STEP is settled; nothing else of its lane is under way. */
static void add_card(const struct rig *rig, int step, struct text *out)
{
    for (int c = 0; c < rig->card_count; c++) {
        const struct rig_card *card = &rig->cards[c];
        bool before = true, on_it = false;
        for (int i = 0; i < card->count; i++)
            on_it |= card->steps[i] == step;
        for (int i = 0; i < card->count && on_it && !card->free_order; i++) {
            before &= card->steps[i] != step;
            if (before)
                add_not_settled(out, card->steps[i]);
        }
    }
    for (int other = 0; other < rig->procedure->step_count; other++)
        if (other != step && rig->lanes_of_step[other] & rig->lanes_of_step[step])
            text_printf(out, " && !(b%d && !d%d)", other, other);
}

static void add_conditions(const struct rig *rig, const struct conditions *conditions,
                           const char *before, struct text *out)
{
    for (int i = 0; i < conditions->count; i++) {
        const struct condition *c = &conditions->at[i];
        text_add(out, before);
        text_add(out, "(0");
        for (int v = 0; v < rig->plan->parts[c->part].value_count; v++)
            if (c->values >> v & 1)
                text_printf(out, " || p%d == %d", c->part, v);
        text_add(out, ")");
    }
}

static void add_ready(const struct rig *rig, int s, struct text *out)
{
    const struct step *step = &rig->procedure->steps[s];
    text_printf(out, "!b%d && !k%d", s, s);
    for (int other = 0; other < rig->procedure->step_count; other++) {
        if (step->after >> other & 1)
            add_not_settled(out, other);
        if (step->after_started >> other & 1)
            text_printf(out, " && (b%d || k%d)", other, other);
    }
    add_card(rig, s, out);
    add_conditions(rig, &step->wait, " && ", out);
}

static void add_effects(const struct effects *effects, struct text *out)
{
    for (int i = 0; i < effects->count; i++)
        text_printf(out, " p%d = %d;", effects->at[i].part, effects->at[i].value);
}

static int first_lane(const struct rig *rig, int step)
{
    for (int lane = 0; lane < rig->lane_count; lane++)
        if (rig->lanes_of_step[step] >> lane & 1)
            return lane;
    return -1;
}

static void add_atom(const struct rig *rig, const struct atom *atom, struct text *out)
{
    switch (atom->kind) {
    case ATOM_PART: {
        struct condition c = {.part = atom->index, .values = atom->values};
        struct conditions one = {&c, 1};
        add_conditions(rig, &one, "", out);
        break;
    }
    case ATOM_RUNNING:
        text_printf(out, "(b%d && !d%d)", atom->index, atom->index);
        break;
    case ATOM_BEGUN:
        text_printf(out, "b%d", atom->index);
        break;
    case ATOM_UNMADE:
        text_printf(out, "!d%d", atom->index);
        break;
    case ATOM_UNTENDED:
        text_printf(out, "(t%d == 255)", atom->index);
        break;
    default:
        text_add(out, "0"); /* moments and ends are not asserted as states */
    }
}

static void add_rules(const struct rig *rig, struct text *out)
{
    text_add(out, "inline rules() {\n  skip;\n");
    for (int r = 0; r < rig->procedure->rules.count; r++) {
        const struct rule *rule = &rig->procedure->rules.at[r];
        for (int c = 0; c < rule->clause_count; c++) {
            text_add(out, "  assert(!(1");
            for (int i = 0; i < rule->clauses[c].count; i++) {
                text_add(out, " && ");
                add_atom(rig, &rule->clauses[c].atoms[i], out);
            }
            text_add(out, "));\n");
        }
    }
    text_add(out, "}\n");
}

static void add_start(const struct rig *rig, int s, struct text *out)
{
    const struct step *step = &rig->procedure->steps[s];
    text_add(out, "  :: d_step { (");
    add_ready(rig, s, out);
    text_add(out, ") ->");
    if (step->need.count) {
        text_add(out, " assert(1");
        add_conditions(rig, &step->need, " && ", out);
        text_add(out, ");");
    }
    text_printf(out, " b%d = 1;", s);
    add_effects(&step->start, out);
    for (int i = 0; i < step->tends.count; i++)
        text_printf(out, " t%d = %d;", step->tends.at[i].line, first_lane(rig, s));
    text_add(out, " rules() }\n");
}

static void add_finish(const struct rig *rig, int s, struct text *out)
{
    const struct step *step = &rig->procedure->steps[s];
    text_printf(out, "  :: d_step { (b%d && !d%d) -> d%d = 1;", s, s, s);
    add_effects(&step->finish, out);
    for (int line = 0; line < rig->plan->part_count; line++)
        for (int lane = 0; step->releases >> line & 1 && lane < rig->lane_count; lane++)
            if (rig->lanes_of_step[s] >> lane & 1)
                text_printf(out, " t%d = (t%d == %d -> 255 : t%d);", line, line, lane,
                            line);
    text_add(out, " rules() }\n");
}

static void add_variables(const struct rig *rig, struct text *out)
{
    const struct rig_state *start = &rig->start;
    for (int p = 0; p < rig->plan->part_count; p++)
        text_printf(out, "byte p%d = %d; byte t%d = %d;\n", p, start->part[p], p,
                    start->tender[p] < 0 ? 255 : start->tender[p]);
    for (int s = 0; s < rig->procedure->step_count; s++)
        text_printf(out, "bool b%d = %d, d%d = %d, k%d = %d; /* %s */\n", s,
                    (int)(start->begun >> s & 1), s, (int)(start->done >> s & 1), s,
                    (int)(start->skipped >> s & 1), rig->procedure->steps[s].name);
}

static bool hands_lines_over(const struct procedure *procedure)
{
    for (int s = 0; s < procedure->step_count; s++)
        if (procedure->steps[s].takes_over.count || procedure->steps[s].hands_over)
            return true;
    return false;
}

bool vet_promela(const struct rig *rig, struct text *out)
{
    if (hands_lines_over(rig->procedure))
        return false;
    text_printf(out,
                "/* %s, %s tack: bN begun, dN done, kN left out, pN part, tN who "
                "tends it */\n",
                rig->procedure->name, board_name(rig->procedure->board));
    add_variables(rig, out);
    add_rules(rig, out);
    text_add(out, "active proctype rig() {\n  do\n");
    for (int s = 0; s < rig->procedure->step_count; s++) {
        add_start(rig, s, out);
        add_finish(rig, s, out);
    }
    text_add(out, "#ifdef STALLS\n  :: d_step { (1");
    for (int s = 0; s < rig->procedure->step_count; s++)
        add_not_settled(out, s);
    text_add(out, ") -> skip }\n#endif\n  od\n}\n");
    return true;
}
