#include "bill/bill_each.h"
#include "cards/sheets.h"

static void add_claim(const struct bill *bill, enum bill_claim claim, const char *words,
                      const char **between, struct text *out)
{
    text_printf(out, "%s%s%s", *between, words,
                bill->settled & claim ? "" : " (best found)");
    *between = ", ";
}

/* "Guy (Bram, then Tamsin)": the hands of ROLE's kin in the order of its card. */
static void add_changing(const struct procedure *procedure, const struct crew *crew,
                         const struct bill *bill, int role, struct text *out)
{
    int last = -1;
    text_printf(out, "%s (", procedure->plan->roles[role].words);
    for (int kin = role; kin < procedure->plan->role_count; kin++)
        for (int lane = 0; lane < bill->lane_count; lane++) {
            if (!(bill->wears[lane] >> kin & 1) || lane == last ||
                !bill_are_kin(procedure, role, kin))
                continue;
            text_printf(out, "%s%s", last < 0 ? "" : ", then ",
                        crew->hands[bill->hand[lane]].name);
            last = lane;
        }
    text_add(out, ")");
}

static void add_all_changing(const struct procedure *procedure, const struct crew *crew,
                             const struct bill *bill, struct text *out)
{
    const char *between = "Shared out: ";
    for (int role = 0; role < procedure->plan->role_count; role++) {
        if (bill_first_kin(procedure, role) != role ||
            bill_count_hands(bill, procedure, role) < 2)
            continue;
        text_add(out, between);
        add_changing(procedure, crew, bill, role, out);
        between = ", ";
    }
    text_add(out, *between == 'S' ? "" : ".\n");
}

void sheet_claims(const struct procedure *procedure, const struct crew *crew,
                  const struct bill *bill, const struct bill_reasons *reasons,
                  enum units units, struct text *out)
{
    const char *between = "Settled after the time, one after the other: ";
    if (bill_is_shared_out(procedure)) {
        add_all_changing(procedure, crew, bill, out);
        add_claim(bill, BILL_FEWEST_CHANGES, "fewest changes of hand", &between, out);
    }
    add_claim(bill, BILL_BEST_KNOWN, "roles known best", &between, out);
    add_claim(bill, BILL_LEAST_BUSY, "the busiest hand has least to do", &between, out);
    struct text way = {0};
    text_printf(&way, "least walking, %.1f %s by all",
                units_length(units, reasons->way_dm / 10.0), units_length_name(units));
    add_claim(bill, BILL_LEAST_WAY, way.at, &between, out);
    text_add(out, ".\n");
    text_free(&way);
}

void sheet_claims_json(const struct procedure *procedure, const struct bill *bill,
                       const struct bill_reasons *reasons, struct json *json)
{
    if (bill_is_shared_out(procedure)) {
        json_integer(json, "role_changes", bill_role_changes(bill, procedure));
        json_bool(json, "role_changes_proved", bill->settled & BILL_FEWEST_CHANGES);
    }
    json_bool(json, "best_known_proved", bill->settled & BILL_BEST_KNOWN);
    json_bool(json, "least_busy_proved", bill->settled & BILL_LEAST_BUSY);
    json_integer(json, "walked_dm", reasons->way_dm);
    json_bool(json, "least_walked_proved", bill->settled & BILL_LEAST_WAY);
}
