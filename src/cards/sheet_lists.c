#include "cards/sheets.h"

#include <inttypes.h>

void sheet_list_line(const struct procedure *procedure, struct text *out)
{
    text_printf(out, "%-22s %-9s %d+ hands  %s\n", procedure->name,
                family_name(procedure->family), procedure->hands_least, procedure->title);
}

void sheet_list_json(const struct procedure *procedure, struct json *json)
{
    json_open(json, NULL, '{');
    json_string(json, "procedure", procedure->name);
    json_string(json, "title", procedure->title);
    json_string(json, "family", family_name(procedure->family));
    json_string(json, "rig", procedure->plan->name);
    json_integer(json, "hands_least", procedure->hands_least);
    json_integer(json, "hands_usual", procedure->hands_usual);
    json_string(json, "revised", procedure->revised);
    json_close(json, '}');
}

/* Civil date of a day count since 1970-01-01 in the Gregorian calendar: whole years of
 * 146,097-day eras counted from March, so that the leap day ends the year. */
static void civil_date(int64_t day, int64_t *year, int *month, int *dom)
{
    int64_t shifted = day + 719468;
    int64_t era = (shifted >= 0 ? shifted : shifted - 146096) / 146097;
    int64_t doe = shifted - era * 146097;
    int64_t yoe = (doe - doe / 1460 + doe / 36524 - doe / 146096) / 365;
    int64_t doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    int64_t mp = (5 * doy + 2) / 153;
    *dom = (int)(doy - (153 * mp + 2) / 5 + 1);
    *month = (int)(mp < 10 ? mp + 3 : mp - 9);
    *year = yoe + era * 400 + (*month <= 2);
}

void sheet_time(int64_t wall_ms, struct text *out)
{
    int64_t seconds = wall_ms / 1000 - (wall_ms % 1000 < 0);
    int64_t day = seconds / 86400 - (seconds % 86400 < 0);
    int64_t rest = seconds - day * 86400, year;
    int month, dom;
    civil_date(day, &year, &month, &dom);
    text_printf(out, "%04" PRId64 "-%02d-%02d %02d:%02d UTC", year, month, dom,
                (int)(rest / 3600), (int)(rest / 60 % 60));
}

void sheet_run_line(const struct logbook_run *record, struct text *out)
{
    text_printf(out, "%4" PRId64 "  ", record->id);
    sheet_time(record->wall_ms, out);
    text_printf(out, "  %-7s %-20s %-9s %d hands  ", run_mode_name(record->mode),
                record->procedure, board_name(record->board), record->hands);
    text_add(out, record->closed ? run_outcome_name(record->outcome) : "still open");
    bool ended = record->closed && record->outcome != RUN_WAS_STOPPED &&
                 record->outcome != RUN_WAS_BROKEN_OFF;
    if (record->closed && record->total_ms >= 0 && record->mode != RUN_WALK) {
        text_add(out, ended ? " in " : " after ");
        text_add_seconds(out, record->total_ms);
        text_add(out, " s");
    } else if (ended && record->mode != RUN_WALK) {
        text_add(out, ", no time");
    }
    text_add(out, "\n");
}

void sheet_run_json(const struct logbook_run *record, struct json *json)
{
    json_open(json, NULL, '{');
    json_integer(json, "run", record->id);
    json_string(json, "uuid", record->uuid);
    json_integer(json, "opened_unix_ms", record->wall_ms);
    json_string(json, "procedure", record->procedure);
    json_string(json, "mode", run_mode_name(record->mode));
    json_string(json, "board", board_name(record->board));
    json_integer(json, "hands", record->hands);
    json_integer(json, "events", record->event_count);
    json_bool(json, "closed", record->closed);
    json_string(json, "outcome", run_outcome_name(record->outcome));
    if (record->total_ms >= 0)
        json_integer(json, "total_ms", record->total_ms);
    else
        json_null(json, "total_ms");
    json_string(json, "proof", record->proof);
    json_close(json, '}');
}
