/* Who is aboard, what is to be done, whether these hands can do it. */
#include "screens/app.h"

#include "base/text.h"
#include "cards/words.h"

#include <string.h>

enum { WIDE_COLUMNS = 72, STATUS_ROWS = 6 };

static int pane_length(const struct app *app, enum pane pane)
{
    if (pane == PANE_PROCEDURES)
        return app->world.library->procedure_count;
    if (pane == PANE_HANDS)
        return app->kit.crew.hand_count;
    return app->kit.procedure ? app->kit.procedure->option_count : 0;
}

static void move(struct app *app, int by)
{
    int length = pane_length(app, app->pane), *at = &app->at[app->pane];
    *at += by;
    if (*at >= length)
        *at = length - 1;
    if (*at < 0)
        *at = 0;
    if (app->pane == PANE_PROCEDURES && app->kit.fits[*at].index != app->procedure) {
        app->procedure = app->kit.fits[*at].index;
        app->option_count = 0;
        app->at[PANE_OPTIONS] = 0;
        app_load_kit(app);
    }
}

static void up(struct app *app)
{
    move(app, -1);
}

static void down(struct app *app)
{
    move(app, 1);
}

static void turn_pane(struct app *app, int by)
{
    do
        app->pane = (enum pane)(((int)app->pane + PANE_COUNT + by) % PANE_COUNT);
    while (app->pane != PANE_PROCEDURES && !pane_length(app, app->pane));
}

static void next_pane(struct app *app)
{
    turn_pane(app, 1);
}

static void last_pane(struct app *app)
{
    turn_pane(app, -1);
}

static void turn_option(struct app *app, int i)
{
    const struct procedure *procedure = app->kit.procedure;
    if (!app->option_count) {
        app->option_count = procedure->option_count;
        for (int o = 0; o < procedure->option_count; o++)
            app->option_on[o] = procedure->options[o].on;
    }
    app->option_on[i] = !app->option_on[i];
}

static void turn(struct app *app)
{
    int at = app->at[app->pane];
    if (at >= pane_length(app, app->pane))
        return;
    if (app->pane == PANE_HANDS)
        app->aboard[at] = !app->aboard[at];
    else if (app->pane == PANE_OPTIONS)
        turn_option(app, at);
    app_load_kit(app);
}

static void other_board(struct app *app)
{
    app->board = app->board == BOARD_PORT ? BOARD_STARBOARD : BOARD_PORT;
    app_load_kit(app);
}

static void next_mode(struct app *app)
{
    app->mode = app->mode == RUN_AFLOAT ? RUN_WALK : (enum run_mode)(app->mode + 1);
}

static void turn_pilot(struct app *app)
{
    app->pilot = !app->pilot;
    app_load_kit(app);
}

static void type_wind(struct app *app)
{
    memset(app->typed, 0, sizeof app->typed);
    memcpy(app->typed, app->wind, sizeof app->wind);
    app->asking = TYPING_WIND;
}

static void go_brief(struct app *app)
{
    if (app_open_session(app))
        app_go_to(app, &brief_screen);
}

static const struct key_entry keys[] = {
    {{PRESS_ENTER}, "Enter", "brief", "brief this crew for this procedure", go_brief},
    {{PRESS_TAB, PRESS_RIGHT},
     "Tab",
     "next list",
     "procedures, hands, options",
     next_pane},
    {{PRESS_SPACE}, "Space", "change", "aboard or not; option on or off", turn},
    {{'l'},
     "L",
     "as last",
     "procedure, board, mode and hands of the last run",
     app_same_again},
    {{'m'},
     "M",
     "mode",
     "walk (slow, no clock), drill (timed), afloat (for real)",
     next_mode},
    {{'b'}, "B", "board", "the tack at the begin: port or starboard", other_board},
    {{'w'}, "W", "wind", "type the true wind in knots", type_wind},
    {{'q', PRESS_ESCAPE}, "Q", "leave", "leave foreguy", app_quit},
    {{'p'}, "P", NULL, "an autopilot steers, or a hand", turn_pilot},
    {{'r'}, "R", NULL, "take up the run that is still open", app_resume},
    {{PRESS_UP}, "Up", NULL, "one line up", up},
    {{PRESS_DOWN}, "Down", NULL, "one line down", down},
    {{PRESS_BACK_TAB, PRESS_LEFT}, "Left", NULL, "the list before", last_pane},
    {{'?'}, "?", NULL, "this help", app_help},
    {{0}, NULL, NULL, NULL, NULL}};

/* The first line shown so that line AT is on the screen. */
static int first_shown(int at, int length, int rows)
{
    if (length <= rows || at < rows / 2)
        return 0;
    return at > length - (rows + 1) / 2 ? length - rows : at - rows / 2;
}

static void add_procedure(const struct app *app, int i, struct text *out)
{
    const struct fit *fit = &app->kit.fits[i];
    text_printf(out, "%-4s %-9s %s",
                !fit->loads                  ? "BAD"
                : fit->verdict == BILL_FOUND ? "fits"
                : fit->verdict == BILL_NONE  ? "no"
                                             : "?",
                fit->loads ? family_name((enum family)fit->family) : "", fit->title);
}

static void add_hand(const struct app *app, int i, struct text *out)
{
    const struct hand *hand = &app->kit.crew.hands[i];
    text_printf(out, "[%s] %-9s", hand->aboard ? "x" : " ", hand->name);
    for (int grade = GRADE_SURE; grade > GRADE_NONE; grade--)
        for (int k = 0; k < hand->knows_count; k++)
            if ((int)hand->knows[k].grade == grade)
                text_printf(out, " %s%s", hand->knows[k].role,
                            grade == GRADE_SURE  ? "*"
                            : grade == GRADE_NEW ? "(new)"
                                                 : "");
}

static void add_option(const struct app *app, int i, struct text *out)
{
    const struct option *option = &app->kit.procedure->options[i];
    text_printf(out, "[%s] %s: %s", option->on ? "x" : " ", option->name, option->words);
}

static void add_line(const struct app *app, enum pane pane, int i, struct text *out)
{
    if (pane == PANE_PROCEDURES)
        add_procedure(app, i, out);
    else if (pane == PANE_HANDS)
        add_hand(app, i, out);
    else
        add_option(app, i, out);
}

static void draw_pane(struct app *app, struct canvas *canvas, enum pane pane,
                      struct area area, const char *title)
{
    int length = pane_length(app, pane), rows = area.rows - 1;
    int first = first_shown(app->at[pane], length, rows);
    bool more = first + rows < length;
    canvas_put_cut(canvas, area.row, area.column, area.columns - (more ? 13 : 0),
                   STYLE_STRONG, title);
    if (more)
        canvas_put_right(canvas, area.row, area.column, area.columns, STYLE_PLAIN,
                         "more below");
    for (int i = first; i < length && i - first < rows; i++) {
        struct text text = {0};
        bool here = i == app->at[pane];
        text_add(&text, !here ? "  " : app->pane == pane ? "> " : "- ");
        add_line(app, pane, i, &text);
        canvas_put_cut(canvas, area.row + 1 + i - first, area.column, area.columns,
                       here && app->pane == pane ? STYLE_SELECTED
                       : here                    ? STYLE_STRONG
                                                 : STYLE_PLAIN,
                       text.at);
        text_free(&text);
    }
}

static int count_aboard(const struct app *app)
{
    int count = 0;
    for (int h = 0; h < app->kit.crew.hand_count; h++)
        count += app->aboard[h];
    return count;
}

static void add_fit(const struct app *app, struct text *out)
{
    const struct kit *kit = &app->kit;
    if (kit->procedure && kit->verdict == BILL_FOUND) {
        text_printf(out, "%s: these hands can do it. Planned ", kit->procedure->title);
        text_add_seconds(out, kit->bill.total_ms);
        text_printf(out, " s, %d of %d hands busy.\n", kit->bill.lane_count,
                    count_aboard(app));
    }
    if (kit->trouble.at)
        text_add(out, kit->trouble.at);
}

static void draw_wind(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct procedure *procedure = app->kit.procedure;
    if (!procedure)
        return;
    enum signal signal = app_wind_signal(app, procedure);
    if (signal)
        canvas_printf(canvas, area.row, area.column,
                      signal == SIGNAL_WARNING ? STYLE_WARNING : STYLE_CAUTION,
                      "%s %s kn true: caution from %.0f, not above %.0f kn.",
                      signal_name(signal), app->wind, procedure->caution_kn,
                      procedure->stop_kn);
    else
        canvas_printf(canvas, area.row, area.column, STYLE_PLAIN,
                      "True wind %s kn. Steering: %s.", *app->wind ? app->wind : "?",
                      app->pilot ? "pilot" : "by hand");
}

static void draw_status(const struct app *app, struct canvas *canvas, struct area area)
{
    struct text fit = {0};
    add_fit(app, &fit);
    canvas_rule(canvas, area.row, area.column, area.columns, STYLE_FAINT);
    struct area words = {area.row + 1, area.column + 1, area.rows - 2, area.columns - 2};
    canvas_wrap(canvas, words,
                app->kit.verdict == BILL_FOUND ? STYLE_PLAIN : STYLE_STRONG,
                fit.at ? fit.at : "");
    draw_wind(app, canvas,
              (struct area){area.row + area.rows - 1, area.column + 1, 1, area.columns});
    text_free(&fit);
}

static void draw_wide(struct app *app, struct canvas *canvas, struct area area)
{
    int options = pane_length(app, PANE_OPTIONS);
    int left = area.columns >= 110 ? 56 : 44,
        lists = area.rows - (options ? options + 1 : 0);
    struct text aboard = {0};
    text_printf(&aboard, "HANDS ABOARD %d of %d   (* sure of it)", count_aboard(app),
                app->kit.crew.hand_count);
    draw_pane(app, canvas, PANE_PROCEDURES, (struct area){area.row, 1, lists, left - 2},
              "PROCEDURES");
    draw_pane(app, canvas, PANE_HANDS,
              (struct area){area.row, left, lists, area.columns - left - 1}, aboard.at);
    text_free(&aboard);
    if (options)
        draw_pane(app, canvas, PANE_OPTIONS,
                  (struct area){area.row + lists, 1, options + 1, area.columns - 2},
                  "OPTIONS");
}

static void draw_narrow(struct app *app, struct canvas *canvas, struct area area)
{
    static const char *const titles[] = {"PROCEDURES", "HANDS ABOARD", "OPTIONS"};
    draw_pane(app, canvas, app->pane,
              (struct area){area.row, 1, area.rows, area.columns - 2}, titles[app->pane]);
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    int status = area.rows > 16 ? STATUS_ROWS : area.rows / 2;
    struct area lists = {area.row, 0, area.rows - status, area.columns};
    if (area.columns >= WIDE_COLUMNS && area.rows > 14)
        draw_wide(app, canvas, lists);
    else
        draw_narrow(app, canvas, lists);
    draw_status(app, canvas,
                (struct area){area.row + area.rows - status, 0, status, area.columns});
}

static void tell(const struct app *app, struct text *out)
{
    text_printf(out, "%s, %s tack%s%s", run_mode_name(app->mode), board_name(app->board),
                app->pilot ? ", pilot" : "", app->world.logbook ? "" : ", NOT RECORDED");
}

const struct screen muster_screen = {"Muster", keys, draw, tell, NULL};
