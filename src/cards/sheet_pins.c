#include "cards/sheets.h"

static void add_pins(const struct procedure *procedure, const struct crew *crew,
                     const struct bill_wish *wish, role_set roles, struct text *out)
{
    const char *between = "";
    for (int role = 0; role < procedure->plan->role_count; role++) {
        if (!(roles >> role & 1))
            continue;
        text_printf(out, "%s%s is %s", between,
                    crew->hands[wish->hand_of_role[role]].name,
                    procedure->plan->roles[role].words);
        between = ", ";
    }
}

static bool is_known(const struct procedure *procedure, const struct crew *crew,
                     const struct bill_wish *wish, int role)
{
    return hand_grade(&crew->hands[wish->hand_of_role[role]],
                      procedure->plan->roles[role].name) != GRADE_NONE;
}

static void add_unknown(const struct procedure *procedure, const struct crew *crew,
                        const struct bill_wish *wish, struct text *out)
{
    for (int role = 0; role < procedure->plan->role_count; role++)
        if (wish->hand_of_role[role] >= 0 && !is_known(procedure, crew, wish, role))
            text_printf(out,
                        "The crew file does not know %s as %s: slow times are taken.\n",
                        crew->hands[wish->hand_of_role[role]].name,
                        procedure->plan->roles[role].words);
}

void sheet_cost(int32_t more_ms, struct text *out)
{
    text_add(out, more_ms > 0 ? "costs " : more_ms < 0 ? "saves " : "costs nothing");
    if (!more_ms)
        return;
    text_add_seconds(out, more_ms > 0 ? more_ms : -more_ms);
    text_add(out, " s");
}

static void add_clash(const struct procedure *procedure, const struct crew *crew,
                      const struct bill_wish *wish, const struct pins *pins,
                      struct text *out)
{
    if (!pins->clash) {
        text_add(out, pins->free_verdict == BILL_FOUND
                          ? "No bill was found with them.\n"
                          : "Without them there is no bill either.\n");
        return;
    }
    text_add(out, "This leaves no bill: ");
    add_pins(procedure, crew, wish, pins->clash, out);
    text_add(out, ".\n");
    if (pins->why.clash_asked)
        bill_explain_clash(&pins->why, procedure, out);
    text_add(out, "With nobody pinned the bill takes ");
    text_add_seconds(out, pins->free.total_ms);
    text_add(out, " s.\n");
}

void sheet_pins(const struct procedure *procedure, const struct crew *crew,
                const struct bill_wish *wish, const struct bill *bill,
                const struct pins *pins, struct text *out)
{
    text_add(out, "Pinned: ");
    add_pins(procedure, crew, wish, bill_pinned(wish), out);
    if (bill && pins->free_verdict == BILL_FOUND) {
        text_add(out, "; ");
        sheet_cost(bill->total_ms - pins->free.total_ms, out);
        text_add(out, bill->proved && pins->free.proved ? "" : ", not proved,");
        text_add(out, " against ");
        text_add_seconds(out, pins->free.total_ms);
        text_add(out, " s with nobody pinned");
    } else if (bill) {
        text_add(out, "; with nobody pinned there is no bill");
    }
    text_add(out, ".\n");
    if (!bill)
        add_clash(procedure, crew, wish, pins, out);
    add_unknown(procedure, crew, wish, out);
}

void sheet_pins_json(const struct procedure *procedure, const struct crew *crew,
                     const struct bill_wish *wish, const struct bill *bill,
                     const struct pins *pins, struct json *json)
{
    json_open(json, "pins", '[');
    for (int role = 0; role < procedure->plan->role_count; role++) {
        if (wish->hand_of_role[role] < 0)
            continue;
        json_open(json, NULL, '{');
        json_string(json, "role", procedure->plan->roles[role].name);
        json_string(json, "hand", crew->hands[wish->hand_of_role[role]].name);
        json_bool(json, "known", is_known(procedure, crew, wish, role));
        json_bool(json, "clashes", pins->clash >> role & 1);
        json_close(json, '}');
    }
    json_close(json, ']');
    if (pins->free_verdict != BILL_FOUND)
        return;
    json_integer(json, "free_total_ms", pins->free.total_ms);
    json_bool(json, "free_proved", pins->free.proved);
    if (bill)
        json_integer(json, "pins_cost_ms", bill->total_ms - pins->free.total_ms);
}
