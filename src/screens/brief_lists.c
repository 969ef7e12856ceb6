#include "screens/brief_parts.h"

#include "base/text.h"
#include "cards/sheet_loads.h"
#include "cards/sheets.h"
#include "cards/words.h"
#include "screens/glyphs.h"

#include <string.h>

enum {
    NAME_COLUMNS = 12,
    NUMBER_COLUMNS = 3,
    SIGNAL_COLUMNS = 10,
    ANSWER_COLUMNS = 6,
    WIDE_COLUMNS = 60 /* from here on a lane has its roles beside the name */
};

static void put_wind(const struct app *app, struct roll *roll)
{
    const struct procedure *procedure = app->session.procedure;
    enum signal signal = app_wind_signal(app, procedure);
    if (!signal)
        return;
    struct text text = {0};
    text_printf(&text, "%s: %.4g kn true; caution from %.0f kn, not above %.0f kn.",
                signal_name(signal), weather_limit_kn(&app->weather),
                procedure->caution_kn, procedure->stop_kn);
    roll_wrap(roll, 0, signal_style(signal), text.at);
    text_free(&text);
}

static void put_mark(const struct app *app, struct roll *roll)
{
    struct text text = {0};
    if (!app->mark.is_set)
        return;
    to_mark_brief(app, &text);
    roll_wrap(roll, 0, to_mark_is_due(app) ? STYLE_OVERDUE : STYLE_STRONG, text.at);
    text_free(&text);
}

static int half_of(int32_t ms, int32_t total_ms, int columns)
{
    return total_ms ? (int)((int64_t)ms * columns * 2 / total_ms) : 0;
}

static void put_bars(const struct session *session, struct roll *roll, int row,
                     int column, int lane)
{
    const struct bill *bill = &session->bill;
    int columns = roll->area.column + roll->area.columns - column;
    for (int i = 0; i < bill->slot_count && columns > 4; i++) {
        const struct bill_slot *slot = &bill->slots[i];
        if (session->rig.lanes_of_step[slot->step] >> lane & 1)
            canvas_bar(roll->canvas, row,
                       column * 2 + half_of(slot->start_ms, bill->total_ms, columns),
                       column * 2 + half_of(slot->end_ms, bill->total_ms, columns),
                       BAR_LATER, STYLE_NEXT);
    }
}

/* Columns of the longest roles of a hand, with a gap; 0 where there is no room. */
static int role_columns(const struct session *session, int columns)
{
    int widest = 0;
    for (int lane = 0; lane < session->bill.lane_count && columns >= WIDE_COLUMNS;
         lane++) {
        struct text roles = {0};
        words_roles(session->procedure->plan, session->bill.wears[lane], &roles);
        int width = glyph_text_width(roles.at) + 2;
        widest = width > widest ? width : widest;
        text_free(&roles);
    }
    return widest < columns / 3 ? widest : columns / 3;
}

static void put_lane(const struct session *session, struct roll *roll, int lane,
                     int roles_wide)
{
    int row = roll_line(roll), column = roll->area.column;
    canvas_printf(roll->canvas, row, column, STYLE_STRONG, "%2d", lane + 1);
    column += NUMBER_COLUMNS;
    canvas_put_cut(roll->canvas, row, column, NAME_COLUMNS - 1, STYLE_STRONG,
                   session->crew->hands[session->bill.hand[lane]].name);
    column += NAME_COLUMNS;
    struct text roles = {0};
    words_roles(session->procedure->plan, session->bill.wears[lane], &roles);
    canvas_put_cut(roll->canvas, row, column, roles_wide - 1, STYLE_PLAIN, roles.at);
    text_free(&roles);
    put_bars(session, roll, row, column + roles_wide, lane);
}

static void put_bill(const struct app *app, struct roll *roll)
{
    const struct session *session = &app->session;
    struct text head = {0};
    bool shortest = session->bill.least_ms == session->bill.total_ms;
    text_add(&head, shortest ? "BILL, shortest " : "BILL, planned ");
    text_add_seconds(&head, session->bill.total_ms);
    text_add(&head, " s");
    if (!shortest) {
        text_add(&head, ", ");
        sheet_bill_proof(&session->bill, &head);
    }
    text_printf(&head, "; %s", session->record.proof);
    roll_wrap(roll, 0, session_proved(session) ? STYLE_STRONG : STYLE_WARNING, head.at);
    text_free(&head);
    int roles_wide = role_columns(session, roll->area.columns);
    for (int lane = 0; lane < session->bill.lane_count; lane++)
        put_lane(session, roll, lane, roles_wide);
}

/* What vet says hurts when it is forgotten, the worst first. */
static void put_must_not_miss(const struct app *app, struct roll *roll)
{
    const struct session *session = &app->session;
    struct text text = {0};
    for (int i = 0; i < session->must_not_miss_count; i++) {
        text_add(&text, i ? ", " : "Must not be missed: ");
        words_step(session->procedure, session->must_not_miss[i], &text);
        text_add(&text, " (");
        words_doers(&session->rig, &session->bill, session->crew,
                    session->must_not_miss[i], &text);
        text_add(&text, ")");
    }
    roll_wrap(roll, 0, STYLE_STRONG, text.at);
    text_free(&text);
}

static void put_checks(const struct app *app, struct roll *roll)
{
    static const char *const marks[] = {"[ ]", "[yes]", "[NO]"};
    const struct procedure *procedure = app->session.procedure;
    const uint8_t *answers = app->session.run.now.checks;
    int open = brief_open_check(app);
    if (procedure->check_count)
        roll_head(roll, "CHECKS");
    for (int i = 0; i < procedure->check_count; i++) {
        enum style style = answers[i] == 2 ? STYLE_WARNING
                           : i == open     ? STYLE_SELECTED
                                           : STYLE_PLAIN;
        int row =
            roll_wrap(roll, ANSWER_COLUMNS, STYLE_PLAIN, procedure->checks[i].question);
        canvas_put(roll->canvas, row, roll->area.column, style, marks[answers[i]]);
    }
}

/* One hand's steps in the bill's order, each behind the second of its planned start. */
static void put_card(const struct session *session, struct roll *roll, int lane)
{
    const struct bill *bill = &session->bill;
    struct text card = {0};
    text_printf(&card, "%s, ", session->crew->hands[bill->hand[lane]].name);
    words_roles(session->procedure->plan, bill->wears[lane], &card);
    const char *between = ":  ";
    for (int i = 0; i < bill->slot_count; i++) {
        const struct bill_slot *slot = &bill->slots[i];
        if (!(session->rig.lanes_of_step[slot->step] >> lane & 1))
            continue;
        text_add(&card, between);
        text_add_seconds(&card, slot->start_ms);
        text_add(&card, " ");
        words_step(session->procedure, slot->step, &card);
        between = ",  ";
    }
    int row = roll_wrap(roll, NUMBER_COLUMNS, STYLE_PLAIN, card.at);
    canvas_printf(roll->canvas, row, roll->area.column, STYLE_STRONG, "%2d", lane + 1);
    text_free(&card);
}

static void put_cards(const struct app *app, struct roll *roll)
{
    roll_head(roll, "CARDS, with the second each step is planned to begin");
    for (int lane = 0; lane < app->session.bill.lane_count; lane++)
        put_card(&app->session, roll, lane);
}

static const char *const preface =
    "DANGER will, WARNING could cause death or serious injury; CAUTION minor injury; "
    "NOTICE is not about injury (ANSI Z535). The skipper, local rules, the class's and "
    "makers' instructions come before this program.";

static void put_caution(struct roll *roll, enum signal signal, const char *text)
{
    int row = roll_wrap(roll, SIGNAL_COLUMNS, STYLE_PLAIN, text);
    canvas_put(roll->canvas, row, roll->area.column, signal_style(signal),
               signal_name(signal));
}

/* The step warnings and the rules of this signal word. */
static void put_cautions_of(const struct procedure *procedure, enum signal signal,
                            struct roll *roll)
{
    for (int i = 0; i < procedure->step_count; i++) {
        const struct warning *warn = &procedure->steps[i].warn;
        if (warn->signal != signal)
            continue;
        struct text text = {0};
        words_step(procedure, i, &text);
        text_printf(&text, ": %s %s", warn->say, warn->avoid);
        put_caution(roll, signal, text.at);
        text_free(&text);
    }
    const char *reasons[RULES_MAX];
    int count = words_reasons(procedure, signal, reasons);
    for (int i = 0; i < count; i++)
        put_caution(roll, signal, reasons[i]);
}

/* Worst signal word first. */
static void put_cautions(const struct app *app, struct roll *roll)
{
    roll_head(roll, "CAUTIONS");
    roll_wrap(roll, 0, STYLE_PLAIN, preface);
    for (int signal = SIGNAL_DANGER; signal >= SIGNAL_NOTICE; signal--)
        put_cautions_of(app->session.procedure, (enum signal)signal, roll);
}

/* TEXT, which is used up; nothing where it is empty. */
static void put_paragraph(struct roll *roll, enum style style, struct text *text)
{
    if (text->at)
        roll_wrap(roll, 0, style, text->at);
    text_free(text);
    *text = (struct text){0};
}

/* What takes more of the hands than they have, or than the file says. */
static void put_loaded_steps(const struct app *app, struct roll *roll)
{
    const struct procedure *procedure = app->session.procedure;
    struct text text = {0};
    if (!procedure->loads)
        return;
    sheet_loads_steps(procedure, &text);
    put_paragraph(roll, procedure->loads->too_much ? STYLE_WARNING : STYLE_STRONG, &text);
}

/* What the lines carry in this wind. */
static void put_loads(const struct app *app, struct roll *roll)
{
    const struct procedure *procedure = app->session.procedure;
    const struct load_report *report = procedure->loads;
    struct text text = {0};
    if (!report)
        return;
    roll_head(roll, "LOADS AND TURNS, an estimate for planning, never for sizing gear");
    for (int kind = LOAD_SHEET; kind < LOAD_COUNT; kind++) {
        sheet_load(report, (enum load_kind)kind, app->world.units, &text);
        put_paragraph(roll, STYLE_PLAIN, &text);
    }
    sheet_loads_pole(report, app->world.units, &text);
    put_paragraph(roll, STYLE_PLAIN, &text);
    sheet_loads_head(report, app->world.units, &text);
    put_paragraph(roll, STYLE_PLAIN, &text);
}

void brief_fill(const struct app *app, struct roll *roll)
{
    put_wind(app, roll);
    app_put_limits(app->session.procedure, roll);
    put_loaded_steps(app, roll);
    put_mark(app, roll);
    put_bill(app, roll);
    put_must_not_miss(app, roll);
    put_checks(app, roll);
    put_loads(app, roll);
    put_cards(app, roll);
    put_cautions(app, roll);
}
