/* The moves of the model: begins, starts, finishes. */
#include "vet/promela.h"

#include <inttypes.h>

void promela_conditions(const struct rig *rig, const struct conditions *conditions,
                        struct text *out)
{
    for (int i = 0; i < conditions->count; i++) {
        const struct condition *c = &conditions->at[i];
        text_add(out, " && (0");
        for (int v = 0; v < rig->plan->parts[c->part].value_count; v++)
            if (c->values >> v & 1)
                text_printf(out, " || p%d == %d", c->part, v);
        text_add(out, ")");
    }
}

/* Everything of CARD before STEP is settled. */
static void add_card(const struct rig_card *card, int step, struct text *out)
{
    bool on_it = false;
    for (int i = 0; i < card->count; i++)
        on_it |= card->steps[i] == step;
    for (int i = 0; on_it && !card->free_order && card->steps[i] != step; i++)
        text_printf(out, " && S%d", card->steps[i]);
}

static void add_ready(const struct rig *rig, int s, struct text *out)
{
    const struct step *step = &rig->procedure->steps[s];
    text_printf(out, "!b%d && !k%d", s, s);
    for (int other = 0; other < rig->procedure->step_count; other++) {
        if (step->after >> other & 1)
            text_printf(out, " && S%d", other);
        if (step->after_started >> other & 1)
            text_printf(out, " && (b%d || k%d)", other, other);
        if (other != s && rig->lanes_of_step[other] & rig->lanes_of_step[s])
            text_printf(out, " && !R%d", other);
    }
    for (int c = 0; c < rig->card_count; c++)
        add_card(&rig->cards[c], s, out);
    promela_conditions(rig, &step->wait, out);
}

static void add_effects(const struct effects *effects, struct text *out)
{
    for (int i = 0; i < effects->count; i++)
        text_printf(out, " p%d = %d;", effects->at[i].part, effects->at[i].value);
}

/* The lane that holds what STEP tends: of a joint step, the first of its roles. */
static int tending_lane(const struct rig *rig, int step)
{
    for (int role = 0; role < rig->plan->role_count; role++)
        if (rig->procedure->steps[step].roles >> role & 1)
            return rig->lane_of_role[role];
    return -1;
}

static void add_start(const struct rig *rig, int s, struct text *out)
{
    const struct step *step = &rig->procedure->steps[s];
    int lane = tending_lane(rig, s);
    text_add(out, "  :: d_step { (");
    add_ready(rig, s, out);
    text_add(out, ") ->");
    promela_at_start(rig, s, out);
    text_printf(out, " b%d = 1;", s);
    add_effects(&step->start, out);
    for (int i = 0; i < step->tends.count; i++) {
        int line = step->tends.at[i].line;
        text_printf(out, " t%d = %d; h%d = %d;", line, lane, line, s);
    }
    for (int i = 0; i < step->takes_over.count; i++) {
        int line = step->takes_over.at[i].line;
        text_printf(out,
                    " if :: (t%d != 255 && t%d != %d) -> y%d = %d :: else -> t%d = %d; "
                    "h%d = %d fi;",
                    line, line, lane, line, lane, line, lane, line, s);
    }
    text_add(out, " }\n");
}

/* (VARIABLE is one of LANES). */
static void add_lanes(char variable, int line, lane_set lanes, struct text *out)
{
    text_add(out, "(0");
    for (int lane = 0; lane < LANES_MAX; lane++)
        if (lanes >> lane & 1)
            text_printf(out, " || %c%d == %d", variable, line, lane);
    text_add(out, ")");
}

/* A hands-over to oneself keeps the line. */
static bool gives_to_itself(const struct rig *rig, int giver, int line)
{
    const struct procedure *procedure = rig->procedure;
    int before = 0;
    for (int s = 0; s < giver; s++)
        before += (procedure->steps[s].hands_over >> line & 1) != 0;
    for (int s = 0; s < procedure->step_count; s++)
        for (int i = 0; i < procedure->steps[s].takes_over.count; i++)
            if (procedure->steps[s].takes_over.at[i].line == line && before-- == 0)
                return tending_lane(rig, s) == tending_lane(rig, giver);
    return false;
}

static void add_finish(const struct rig *rig, int s, struct text *out)
{
    const struct step *step = &rig->procedure->steps[s];
    step_set takers = rig_takers(rig, s);
    text_printf(out, "  :: d_step { (R%d", s);
    for (int other = 0; other < rig->procedure->step_count; other++)
        if (takers >> other & 1)
            text_printf(out, " && S%d", other);
    text_add(out, ") ->");
    promela_at_finish(rig, s, out);
    text_printf(out, " d%d = 1;", s);
    add_effects(&step->finish, out);
    for (int line = 0; line < rig->plan->part_count; line++) {
        if (step->releases >> line & 1) {
            text_add(out, " if :: ");
            add_lanes('y', line, rig->lanes_of_step[s], out);
            text_printf(out, " -> y%d = 255 :: else fi; if :: ", line);
            add_lanes('t', line, rig->lanes_of_step[s], out);
            text_printf(out, " -> let_go%d() :: else fi;", line);
        }
        if (step->hands_over >> line & 1)
            text_printf(out,
                        " if :: (y%d != 255 || %s%d == %d) -> let_go%d() :: else fi;",
                        line, gives_to_itself(rig, s, line) ? "0 && t" : "t", line,
                        tending_lane(rig, s), line);
    }
    text_add(out, " }\n");
}

/* TN: the step by which line N is being taken over; 255: none.  The last of the file that
 * has begun, and it keeps the line when the tender lets go. */
static void add_let_go(const struct rig *rig, int line, struct text *out)
{
    text_printf(out, "#define T%d (", line);
    int open = 0;
    for (int s = rig->procedure->step_count - 1; s >= 0; s--)
        for (int i = 0; i < rig->procedure->steps[s].takes_over.count; i++)
            if (rig->procedure->steps[s].takes_over.at[i].line == line) {
                text_printf(out, "(b%d && y%d == %d -> %d : ", s, line,
                            tending_lane(rig, s), s);
                open++;
            }
    text_add(out, "255");
    while (open-- > 0)
        text_add(out, ")");
    text_printf(out,
                ")\ninline let_go%d() { h%d = (T%d == 255 -> 0 : T%d); t%d = y%d; y%d = "
                "255 }\n",
                line, line, line, line, line, line, line);
}

/* The values that part P may begin with, where any. */
static value_set begin_values(const struct rig *rig, int p, bool one_begin)
{
    value_set own = (value_set)1 << rig->start.part[p];
    value_set allowed = rig->procedure->begin[p].values;
    return one_begin || !allowed ? own : allowed;
}

static int lowest(value_set values)
{
    int value = 0;
    while (!(values >> value & 1))
        value++;
    return value;
}

static void add_variables(const struct rig *rig, bool one_begin, struct text *out)
{
    const struct rig_state *start = &rig->start;
    for (int p = 0; p < rig->plan->part_count; p++) {
        text_printf(out, "byte p%d = %d; /* %s */\n", p,
                    lowest(begin_values(rig, p, one_begin)), rig->plan->parts[p].name);
        if (rig->plan->parts[p].tended_at >= 0)
            text_printf(out, "byte t%d = %d, y%d = %d, h%d = %d;\n", p,
                        start->tender[p] < 0 ? 255 : start->tender[p], p,
                        start->taker[p] < 0 ? 255 : start->taker[p], p,
                        start->tending[p]);
    }
    for (int s = 0; s < rig->procedure->step_count; s++)
        text_printf(out,
                    "bool b%d = %d, d%d = %d, k%d = %d; /* %s */\n"
                    "#define R%d (b%d && !d%d)\n#define S%d (d%d || k%d)\n",
                    s, (int)(start->begun >> s & 1), s, (int)(start->done >> s & 1), s,
                    (int)(start->skipped >> s & 1), rig->procedure->steps[s].name, s, s,
                    s, s, s, s);
    for (int p = 0; p < rig->plan->part_count; p++)
        if (rig->plan->parts[p].tended_at >= 0)
            add_let_go(rig, p, out);
}

/* Chooses the begin, a part with several values in each move. */
static void add_begins(const struct rig *rig, bool one_begin, struct text *out)
{
    uint64_t begins = 1, states = 0, transitions = 0;
    int moves = 0;
    for (int p = 0; p < rig->plan->part_count; p++) {
        value_set values = begin_values(rig, p, one_begin);
        if (!(values & (values - 1)))
            continue;
        states += begins;
        begins *= (uint64_t)__builtin_popcount(values);
        transitions += begins;
        moves++;
        text_add(out, "  if\n");
        for (; values; values &= values - 1)
            text_printf(out, "  :: p%d = %d\n", p, lowest(values));
        text_add(out, "  fi;\n");
    }
    text_printf(
        out, "  /* choosing: %d moves, %" PRIu64 " states, %" PRIu64 " transitions */\n",
        moves, states, transitions);
}

static void add_process(const struct rig *rig, bool one_begin, struct text *out)
{
    text_add(out, "active proctype rig() {\n");
    add_begins(rig, one_begin, out);
    text_add(out, "  do\n");
    for (int s = 0; s < rig->procedure->step_count; s++) {
        add_start(rig, s, out);
        add_finish(rig, s, out);
    }
    promela_rules(rig, out);
    text_add(out, "  :: d_step { (ENDS && ENDED) -> assert(1");
    promela_conditions(rig, &rig->procedure->goal, out);
    text_add(out, ") }\n  od\n}\n");
}

void vet_promela(const struct rig *rig, bool one_begin, struct text *out)
{
    text_printf(
        out,
        "/* %s, %s tack: bN begun, dN done, kN left out, pN part, tN who tends it, yN "
        "who\n   takes it over, hN by which step.  spin -o2 -a; pan -E: an assertion "
        "fails where some\n   way breaks something.  With -DRULES=0 -DENDS=1; pan -A: a "
        "dead end where somebody\n   waits for ever; pan -E: an assertion fails where "
        "some end is not the goal. */\n"
        "#ifndef RULES\n#define RULES 1\n#endif\n#ifndef ENDS\n#define ENDS "
        "0\n#endif\n",
        rig->procedure->name, board_name(rig->procedure->board));
    add_variables(rig, one_begin, out);
    promela_holds(rig, out);
    add_process(rig, one_begin, out);
}
