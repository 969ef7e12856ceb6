#include "bill/bill.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const struct bill_slot *bill_slot_of(const struct bill *bill, int step)
{
    for (int i = 0; i < bill->slot_count; i++)
        if (bill->slots[i].step == step)
            return &bill->slots[i];
    assert(0 && "a bill has a slot for each step");
    return NULL;
}

/* The one role of LANE has no order of its own: the bill prints one and any will do. */
static bool is_free(const struct bill *bill, const struct rig_plan *plan, int lane)
{
    for (int role = 0; role < plan->role_count; role++)
        if (bill->wears[lane] == (role_set)(1u << role))
            return plan->roles[role].free_order;
    return false;
}

void bill_rig(const struct bill *bill, const struct procedure *procedure, struct rig *out)
{
    int8_t lane_of_role[ROLES_MAX];
    memset(lane_of_role, -1, sizeof lane_of_role);
    for (int lane = 0; lane < bill->lane_count; lane++)
        for (int role = 0; role < ROLES_MAX; role++)
            if (bill->wears[lane] >> role & 1)
                lane_of_role[role] = (int8_t)lane;
    bool joint_fits =
        rig_make(out, procedure, lane_of_role, bill->lane_count, bill->pilot);
    assert(joint_fits);
    (void)joint_fits;
    if (bill->from_state)
        out->start = bill->start;
    for (int lane = 0; lane < bill->lane_count; lane++) {
        uint8_t steps[STEPS_MAX];
        int count = 0;
        for (int i = 0; i < bill->slot_count; i++)
            if (out->lanes_of_step[bill->slots[i].step] >> lane & 1)
                steps[count++] = bill->slots[i].step;
        if (!is_free(bill, procedure->plan, lane))
            rig_set_card(out, lane, steps, count);
    }
}

static void write_start(const struct bill *bill, const struct procedure *procedure,
                        struct text *out)
{
    const struct rig_plan *plan = procedure->plan;
    const struct rig_state *start = &bill->start;
    for (int p = 0; p < plan->part_count; p++) {
        if (procedure->begin[p].values || start->part[p] != procedure->begin[p].first)
            text_printf(out, "part %s %s\n", plan->parts[p].name,
                        plan->parts[p].values[start->part[p]].name);
        if (start->tender[p] >= 0)
            text_printf(out, "tends %s %d %d\n", plan->parts[p].name, start->tender[p],
                        start->tending[p]);
        if (start->taker[p] >= 0)
            text_printf(out, "takes %s %d\n", plan->parts[p].name, start->taker[p]);
    }
    for (int s = 0; s < procedure->step_count; s++) {
        const char *how = start->done >> s & 1      ? "done"
                          : start->begun >> s & 1   ? "begun"
                          : start->skipped >> s & 1 ? "skipped"
                                                    : NULL;
        if (how)
            text_printf(out, "%s %s\n", how, procedure->steps[s].name);
    }
}

/* One line each: `pilot yes|no`, `hand NAME: role role`, `slot STEP START END`,
 * `least MS` that is proved to be possible at best; and for a bill that begins from a
 * state `from state`, `part NAME VALUE`, `tends LINE LANE TENDING`, `takes LINE LANE`,
 * `done STEP`, `begun STEP`, `skipped STEP`. */
void bill_write(const struct bill *bill, const struct procedure *procedure,
                const struct crew *crew, struct text *out)
{
    text_printf(out, "pilot %s\n", bill->pilot ? "yes" : "no");
    for (int lane = 0; lane < bill->lane_count; lane++) {
        text_printf(out, "hand %s:", crew->hands[bill->hand[lane]].name);
        for (int role = 0; role < procedure->plan->role_count; role++)
            if (bill->wears[lane] >> role & 1)
                text_printf(out, " %s", procedure->plan->roles[role].name);
        text_add(out, "\n");
    }
    for (int i = 0; i < bill->slot_count; i++)
        text_printf(out, "slot %s %d %d\n", procedure->steps[bill->slots[i].step].name,
                    bill->slots[i].start_ms, bill->slots[i].end_ms);
    if (bill->least_ms > 0 && bill->least_ms <= bill->total_ms)
        text_printf(out, "least %d\n", bill->least_ms);
    if (bill->from_state) {
        text_add(out, "from state\n");
        write_start(bill, procedure, out);
    }
}

static int find_hand(const struct crew *crew, const char *name, size_t length)
{
    for (int h = 0; h < crew->hand_count; h++)
        if (strlen(crew->hands[h].name) == length &&
            memcmp(crew->hands[h].name, name, length) == 0)
            return h;
    return -1;
}

static bool read_hand(const char *line, const struct procedure *procedure,
                      const struct crew *crew, struct bill *out)
{
    const char *colon = strrchr(line, ':');
    if (!colon || out->lane_count == LANES_MAX)
        return false;
    int hand = find_hand(crew, line, (size_t)(colon - line));
    for (int other = 0; other < out->lane_count; other++)
        if (out->hand[other] == hand)
            return false; /* one lane a hand */
    if (hand < 0)
        return false;
    int lane = out->lane_count++;
    out->hand[lane] = (uint8_t)hand;
    for (const char *at = colon + 1; *at;) {
        at += strspn(at, " ");
        char name[64];
        size_t length = strcspn(at, " ");
        if (length == 0 || length >= sizeof name)
            break;
        memcpy(name, at, length);
        name[length] = '\0';
        int role = rig_plan_role(procedure->plan, name);
        if (role < 0)
            return false;
        out->wears[lane] |= (role_set)(1u << role);
        at += length;
    }
    return true;
}

static bool read_slot(const char *line, const struct procedure *procedure,
                      struct bill *out)
{
    char name[64];
    int start, end, length;
    if (sscanf(line, "%63s %9d %9d%n", name, &start, &end, &length) != 3 ||
        line[length] || start < 0 || end < start ||
        out->slot_count == procedure->step_count)
        return false;
    if (out->slot_count && start < out->slots[out->slot_count - 1].start_ms)
        return false; /* slots stand by their start */
    int step = procedure_step(procedure, name);
    for (int i = 0; i < out->slot_count; i++)
        if (out->slots[i].step == step)
            return false;
    if (step < 0)
        return false;
    out->slots[out->slot_count++] = (struct bill_slot){(uint8_t)step, start, end};
    if (end > out->total_ms)
        out->total_ms = end;
    return true;
}

static bool read_part(const char *line, const struct procedure *procedure,
                      struct bill *out)
{
    char name[64], value[64];
    int length;
    if (sscanf(line, "%63s %63s%n", name, value, &length) != 2 || line[length])
        return false;
    int part = rig_plan_part(procedure->plan, name);
    int v = part < 0 ? -1 : part_find_value(&procedure->plan->parts[part], value);
    if (v < 0)
        return false;
    out->start.part[part] = (uint8_t)v;
    return true;
}

static bool has_line(const struct tendings *tendings, int line)
{
    for (int i = 0; i < tendings->count; i++)
        if (tendings->at[i].line == line)
            return true;
    return false;
}

/* TENDING, as in a rig_state, is one of LINE. */
static bool is_tending_of(const struct procedure *procedure, int tending, int line)
{
    if (tending >= STEPS_MAX)
        return tending - STEPS_MAX < procedure->tended_count &&
               procedure->tended[tending - STEPS_MAX].tending.line == line;
    return tending >= 0 && tending < procedure->step_count &&
           (has_line(&procedure->steps[tending].tends, line) ||
            has_line(&procedure->steps[tending].takes_over, line));
}

static bool read_tends(const char *line, const struct procedure *procedure,
                       struct bill *out)
{
    char name[64];
    int lane, tending, length;
    if (sscanf(line, "%63s %4d %4d%n", name, &lane, &tending, &length) != 3 ||
        line[length])
        return false;
    int part = rig_plan_part(procedure->plan, name);
    if (part < 0 || !is_tending_of(procedure, tending, part) || lane < 0 ||
        lane >= out->lane_count)
        return false;
    out->start.tender[part] = (int8_t)lane;
    out->start.tending[part] = (uint8_t)tending;
    return true;
}

static bool read_takes(const char *line, const struct procedure *procedure,
                       struct bill *out)
{
    char name[64];
    int lane, length;
    if (sscanf(line, "%63s %4d%n", name, &lane, &length) != 2 || line[length])
        return false;
    int part = rig_plan_part(procedure->plan, name);
    if (part < 0 || lane < 0 || lane >= out->lane_count || out->start.tender[part] < 0 ||
        out->start.tender[part] == lane)
        return false;
    out->start.taker[part] = (int8_t)lane;
    return true;
}

static void start_state(const struct procedure *procedure, struct bill *out)
{
    out->from_state = true;
    for (int p = 0; p < procedure->plan->part_count; p++)
        out->start.part[p] = procedure->begin[p].first;
    memset(out->start.tender, -1, sizeof out->start.tender);
    memset(out->start.taker, -1, sizeof out->start.taker);
}

static bool read_step_state(const char *line, const struct procedure *procedure,
                            struct bill *out)
{
    const char *space = strchr(line, ' ');
    int step = space ? procedure_step(procedure, space + 1) : -1;
    step_set bit = step < 0 ? 0 : (step_set)1 << step;
    if (!bit || (out->start.begun | out->start.skipped) & bit)
        return false;
    out->start.begun |= *line != 's' ? bit : 0;
    out->start.done |= *line == 'd' ? bit : 0;
    out->start.skipped |= *line == 's' ? bit : 0;
    return true;
}

static bool read_state_line(const char *line, const struct procedure *procedure,
                            struct bill *out)
{
    if (strncmp(line, "part ", 5) == 0)
        return read_part(line + 5, procedure, out);
    if (strncmp(line, "tends ", 6) == 0)
        return read_tends(line + 6, procedure, out);
    if (strncmp(line, "takes ", 6) == 0)
        return read_takes(line + 6, procedure, out);
    if (strncmp(line, "done ", 5) == 0 || strncmp(line, "begun ", 6) == 0 ||
        strncmp(line, "skipped ", 8) == 0)
        return read_step_state(line, procedure, out);
    return *line == '\0';
}

/* What is known of the best possible; it stands behind the slots. */
static bool read_least(const char *line, struct bill *out)
{
    int least, length;
    if (sscanf(line, "%9d%n", &least, &length) != 1 || line[length] || least <= 0 ||
        least > out->total_ms)
        return false;
    out->least_ms = least;
    out->proved = least == out->total_ms;
    return true;
}

static bool read_line(const char *line, const struct procedure *procedure,
                      const struct crew *crew, struct bill *out)
{
    if (strcmp(line, "pilot yes") == 0 || strcmp(line, "pilot no") == 0) {
        out->pilot = line[6] == 'y';
        return true;
    }
    if (strncmp(line, "hand ", 5) == 0)
        return read_hand(line + 5, procedure, crew, out);
    if (strncmp(line, "slot ", 5) == 0)
        return read_slot(line + 5, procedure, out);
    if (strncmp(line, "least ", 6) == 0)
        return read_least(line + 6, out);
    if (strcmp(line, "from state") == 0) {
        start_state(procedure, out);
        return true;
    }
    return out->from_state ? read_state_line(line, procedure, out) : *line == '\0';
}

/* A joint step is done by different hands. */
static bool has_joint_step(const struct procedure *procedure, role_set wears)
{
    for (int s = 0; s < procedure->step_count; s++) {
        role_set roles = procedure->steps[s].roles & wears;
        if (roles & (role_set)(roles - 1))
            return true;
    }
    return false;
}

static bool wears_everything(const struct bill *bill, const struct procedure *procedure)
{
    role_set worn = 0;
    for (int lane = 0; lane < bill->lane_count; lane++) {
        if (worn & bill->wears[lane] || has_joint_step(procedure, bill->wears[lane]))
            return false;
        worn |= bill->wears[lane];
    }
    for (int role = 0; role < procedure->plan->role_count; role++)
        if (rig_role_needed(procedure, role, bill->pilot) && !(worn >> role & 1))
            return false;
    return true;
}

bool bill_read(const char *text, const struct procedure *procedure,
               const struct crew *crew, struct bill *out)
{
    *out = (struct bill){0};
    while (*text) {
        char line[1024]; /* a hand with all roles, each with the longest name */
        size_t length = strcspn(text, "\n");
        if (length >= sizeof line)
            return false;
        memcpy(line, text, length);
        line[length] = '\0';
        if (!read_line(line, procedure, crew, out))
            return false;
        text += length + (text[length] == '\n');
    }
    return out->slot_count == procedure->step_count && out->lane_count > 0 &&
           wears_everything(out, procedure);
}
