#include "cards/sheet_vet.h"
#include "cards/words.h"

enum { SHOWN_MAX = 4 };

static void add_event(const struct procedure *procedure, struct vet_event event,
                      struct text *out)
{
    words_roles(procedure->plan, procedure->steps[event.step].roles, out);
    text_add(out, " \"");
    words_step(procedure, event.step, out);
    text_add(out, event.finish ? "\" ends" : "\" starts");
}

void sheet_race(const struct procedure *procedure, const struct race *race,
                struct text *out)
{
    const char *part = procedure->plan->parts[race->part].words;
    text_add(out, "left to chance: ");
    add_event(procedure, race->event, out);
    if (race->kind == RACE_VALUE) {
        text_add(out, " or ");
        add_event(procedure, race->other, out);
        text_printf(out, " last: the %s stays as the later one leaves it", part);
        return;
    }
    text_add(out, " before or after ");
    add_event(procedure, race->other, out);
    text_printf(out, ", which waits for the %s and may miss it", part);
}

void sheet_vet_races(const struct procedure *procedure, const struct races *races,
                     struct text *out)
{
    for (int i = 0; i < races->count && i < SHOWN_MAX; i++) {
        text_add(out, "  ");
        sheet_race(procedure, &races->at[i], out);
        text_add(out, "\n");
    }
    if (races->count > SHOWN_MAX)
        text_printf(out, "  and %d more left to chance: see --json\n",
                    races->count - SHOWN_MAX);
}

void sheet_races_json(const struct procedure *procedure, const struct races *races,
                      struct json *json)
{
    json_open(json, "races", '[');
    for (int i = 0; i < races->count; i++) {
        struct text words = {0};
        sheet_race(procedure, &races->at[i], &words);
        json_string(json, NULL, words.at);
        text_free(&words);
    }
    json_close(json, ']');
}
