/* Who is aboard, what is to be done, whether these hands can do it. */
#include "screens/muster_parts.h"

#include "base/text.h"
#include "screens/glyphs.h"

#include <string.h>

enum { WIDE_COLUMNS = 72, DETAIL_ROWS = 6, NAME_COLUMNS = 10 };

static int pane_length(const struct app *app, enum pane pane)
{
    if (pane == PANE_PROCEDURES)
        return app->world.library->procedure_count;
    if (pane == PANE_HANDS)
        return app->kit.crew.hand_count;
    if (pane == PANE_DETAILS)
        return 1;
    return app->kit.procedure ? app->kit.procedure->option_count : 0;
}

static void move(struct app *app, int by)
{
    int length = pane_length(app, app->pane), *at = &app->at[app->pane];
    if (app->pane == PANE_DETAILS) {
        app->scroll.first += by;
        return;
    }
    *at += by;
    if (*at >= length)
        *at = length - 1;
    if (*at < 0)
        *at = 0;
    if (app->pane == PANE_PROCEDURES && app->kit.fits[*at].index != app->procedure) {
        app->procedure = app->kit.fits[*at].index;
        app->option_count = 0;
        app->at[PANE_OPTIONS] = 0;
        app->scroll = (struct scroll){0};
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

static void to_details(struct app *app)
{
    app->pane = app->pane == PANE_DETAILS ? PANE_PROCEDURES : PANE_DETAILS;
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

static void go_brief(struct app *app)
{
    if (app_open_session(app))
        app_go_to(app, &brief_screen);
}

static void go_bill(struct app *app)
{
    app->line = 0;
    if (app->kit.procedure)
        app_go_to(app, &bill_screen);
}

static const struct key_entry keys[] = {
    {{PRESS_ENTER}, "Enter", "brief", "brief this crew for this procedure", go_brief},
    {{PRESS_TAB, PRESS_RIGHT},
     "Tab",
     "next list",
     "procedures, hands, options, details",
     next_pane},
    {{PRESS_SPACE}, "Space", "change", "aboard or not; option on or off", turn},
    {{'d'}, "D", "details", "read on in the details, and back", to_details},
    {{'h'}, "H", "by hand", "change the bill by hand: roles and order", go_bill},
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
    {{'w'}, "W", "wind", "type true wind, boat speed and true angle", muster_type_wind},
    {{'q', PRESS_ESCAPE}, "Q", "leave", "leave foreguy", app_quit},
    {{'p'}, "P", NULL, "an autopilot steers, or a hand", turn_pilot},
    {{'r'}, "R", NULL, "take up the run that is still open", app_resume},
    {{PRESS_UP}, "Up Down", NULL, "one line up or down in that list", up},
    {{PRESS_DOWN}, NULL, NULL, NULL, down},
    {{PRESS_PAGE_UP}, "PgUp PgDn", NULL, "the details, one page up or down", app_page_up},
    {{PRESS_PAGE_DOWN}, NULL, NULL, NULL, app_page_down},
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

static void add_padded(const char *words, int columns, struct text *out)
{
    text_add(out, words);
    for (int width = glyph_text_width(words); width < columns; width++)
        text_add(out, " ");
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
    text_printf(out, "[%s] ", hand->aboard ? "x" : " ");
    add_padded(hand->name, NAME_COLUMNS, out);
    muster_add_knows(hand, out);
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

/* Columns that the procedures take, so that none is cut where there is room. */
static int procedure_columns(const struct app *app, int columns)
{
    int widest = 0;
    for (int i = 0; i < app->kit.fit_count; i++) {
        struct text text = {0};
        add_procedure(app, i, &text);
        int width = glyph_text_width(text.at) + 5; /* the selection and a gap */
        widest = width > widest ? width : widest;
        text_free(&text);
    }
    return widest < columns * 11 / 20 ? widest : columns * 11 / 20;
}

static void draw_lists(struct app *app, struct canvas *canvas, struct area area)
{
    int options = pane_length(app, PANE_OPTIONS);
    int left = procedure_columns(app, area.columns),
        lists = area.rows - (options ? options + 1 : 0);
    struct text aboard = {0};
    text_printf(&aboard, "HANDS ABOARD %d of %d  (* sure)", muster_count_aboard(app),
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

/* What the lists take of the rows, with something left for the details. */
static int list_rows(const struct app *app, int rows)
{
    int procedures = pane_length(app, PANE_PROCEDURES),
        hands = pane_length(app, PANE_HANDS), options = pane_length(app, PANE_OPTIONS);
    int wanted =
        (procedures > hands ? procedures : hands) + 1 + (options ? options + 1 : 0);
    return wanted < rows - DETAIL_ROWS ? wanted : rows - DETAIL_ROWS;
}

static void draw_details(struct app *app, struct canvas *canvas, struct area area)
{
    bool here = app->pane == PANE_DETAILS;
    canvas_rule(canvas, area.row, 0, area.columns, here ? STYLE_STRONG : STYLE_FAINT);
    if (here)
        canvas_put(canvas, area.row, 1, STYLE_SELECTED, "> DETAILS");
    app->scroll.down = here ? NULL : "D or PgDn";
    app->scroll.up = here ? NULL : "PgUp";
    scroll_draw(&app->scroll, canvas,
                (struct area){area.row + 1, 1, area.rows - 1, area.columns - 2},
                muster_fill, app);
}

/* On a narrow screen one list at a time stands above the details. */
static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    static const char *const titles[] = {"PROCEDURES", "HANDS ABOARD", "OPTIONS"};
    bool is_wide = area.columns >= WIDE_COLUMNS && area.rows > 14;
    int lists = is_wide                     ? list_rows(app, area.rows)
                : app->pane == PANE_DETAILS ? 0
                                            : area.rows - area.rows / 2;
    struct area top = {area.row, 0, lists, area.columns};
    if (is_wide)
        draw_lists(app, canvas, top);
    else if (lists)
        draw_pane(app, canvas, app->pane,
                  (struct area){area.row, 1, lists, area.columns - 2}, titles[app->pane]);
    draw_details(app, canvas,
                 (struct area){area.row + lists, 0, area.rows - lists, area.columns});
}

/* Space means something in two of the lists. */
static const char *hint(const struct app *app, const struct key_entry *entry)
{
    if (entry->act == turn)
        return app->pane == PANE_HANDS     ? "aboard"
               : app->pane == PANE_OPTIONS ? "turn option"
                                           : NULL;
    if (entry->act == go_brief && app->kit.verdict != BILL_FOUND)
        return NULL;
    return entry->label;
}

static void tell(const struct app *app, struct text *out)
{
    text_printf(out, "%s, %s tack%s%s", run_mode_name(app->mode), board_name(app->board),
                app->pilot ? ", pilot" : "", app->world.logbook ? "" : ", NOT RECORDED");
}

const struct screen muster_screen = {"Muster", keys, draw, tell, NULL, hint};
