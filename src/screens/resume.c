#include "screens/resume.h"

#include "base/text.h"
#include "forces/loaded.h"
#include "forces/weather.h"

#include <inttypes.h>
#include <string.h>

static int split_options(struct arena *arena, const char *text,
                         const char *out[OPTIONS_MAX])
{
    int count = 0;
    while (*text && count < OPTIONS_MAX) {
        size_t length = strcspn(text, " ");
        if (length)
            out[count++] = arena_copy(arena, text, length);
        text += length + (text[length] == ' ');
    }
    return count;
}

bool resume_load(const struct logbook_run *record, struct arena *arena,
                 struct diags *diags, const struct procedure **procedure,
                 const struct crew **crew)
{
    const char *options[OPTIONS_MAX];
    struct load_choice choice = {.board = record->board, .options = options};
    choice.option_count = split_options(arena, record->options, options);
    const struct source *rig =
        source_new(arena, "stored rig", record->rig_text, strlen(record->rig_text));
    const struct source *source =
        source_new(arena, "stored procedure", record->procedure_text,
                   strlen(record->procedure_text));
    const struct source *people =
        source_new(arena, "stored crew", record->crew_text, strlen(record->crew_text));
    const struct source *vessel =
        source_new(arena, "stored boat", record->boat_text, strlen(record->boat_text));
    const struct boat *boat = load_boat(vessel, arena, diags);
    const struct rig_plan *plan = load_rig(rig, record->board, arena, diags);
    if (plan)
        plan = load_stations_of_boat(plan, boat, arena);
    *procedure = load_procedure(source, plan, &choice, arena, diags);
    struct weather weather = {.is_said = false};
    if (record->wind)
        weather_read(record->wind, &weather);
    if (*procedure)
        *procedure = loaded_procedure(*procedure, boat, &weather, arena);
    *crew = load_crew(people, arena, diags);
    return *procedure && *crew && boat;
}

bool resume_read(struct logbook *logbook, int64_t id, struct arena *arena,
                 struct diags *diags, struct resumed *out, struct text *why)
{
    if (!logbook_read_run(logbook, id, arena, &out->record)) {
        text_printf(why, "there is no run %" PRId64 " in this logbook", id);
        return false;
    }
    if (!logbook_read_events(logbook, id, arena, &out->events, &out->event_count)) {
        text_add(why, "the events of this run cannot be read");
        return false;
    }
    if (!resume_load(&out->record, arena, diags, &out->procedure, &out->crew))
        return false;
    if (!bill_read(out->record.bill_text, out->procedure, out->crew, &out->bill)) {
        text_add(why, "its stored bill does not fit its stored procedure and crew");
        return false;
    }
    bill_rig(&out->bill, out->procedure, &out->rig);
    run_start(&out->run, &out->rig, &out->bill, out->record.mode);
    if (!run_replay(&out->run, out->events, out->event_count)) {
        text_add(why, "the stored events do not give the same run again");
        return false;
    }
    return true;
}
