#include "bill/call_times.h"

enum { PLAYS = 1000, STAND_BY_S = 10 };

static int32_t stand_by_ms(const struct procedure *procedure, const struct bill *bill)
{
    int part = rig_plan_part(procedure->plan, "go");
    int ready = part < 0 ? -1 : part_find_value(&procedure->plan->parts[part], "ready");
    for (int s = 0; s < procedure->step_count; s++)
        for (int i = 0; i < procedure->steps[s].finish.count; i++)
            if (procedure->steps[s].finish.at[i].part == part &&
                procedure->steps[s].finish.at[i].value == ready)
                return bill_slot_of(bill, s)->end_ms;
    return -1;
}

bool bill_find_call_times(const struct library *library, const struct bill *bill,
                          const struct procedure *procedure, const struct crew *crew,
                          const struct bill_wish *wish, struct arena *arena,
                          struct call_times *out)
{
    *out = (struct call_times){.stand_by_ms = stand_by_ms(procedure, bill)};
    if (!bill_find_spread(bill, procedure, crew, wish, PLAYS, 1, &out->spread))
        return false;
    bill_find_way_back(library, bill, procedure, crew, wish, "person-overboard", arena,
                       &out->back);
    return true;
}

void bill_fill_call(const struct call_times *times, struct call_now *now)
{
    int32_t before_ms = times->stand_by_ms < 0 ? 0 : times->stand_by_ms;
    now->stand_by_s = times->stand_by_ms < 0 ? STAND_BY_S : before_ms / 1000.0;
    now->nine_s = (times->spread.nine_ms - before_ms) / 1000.0;
    now->slow_s = times->spread.slow_ms / 1000.0;
    now->recovery_s = times->back.spread.nine_ms / 1000.0;
}
