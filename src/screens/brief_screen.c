/* The bill, the cautions, the checks asked and answered, the go or why not. */
#include "screens/app.h"

#include "base/text.h"
#include "cards/words.h"

#include <string.h>

enum { NAME_COLUMNS = 12, PAGES = 2 };

static int first_open(const struct app *app)
{
    const struct run *run = &app->session.run;
    for (int i = 0; i < app->session.procedure->check_count; i++)
        if (!run->now.checks[i])
            return i;
    return -1;
}

/* At once where everything is answered and proved; else it takes a deliberate Y. */
static void ask_go(struct app *app)
{
    if (run_open_checks(&app->session.run) || !session_proved(&app->session))
        app->asking = ASKING_GO;
    else
        app_do(app, RUN_GO, 0, 0, "");
}

static void yes(struct app *app)
{
    int check = first_open(app);
    if (check >= 0)
        app_do(app, RUN_CHECKED, check, 1, "");
    else
        ask_go(app);
}

static void no(struct app *app)
{
    int check = first_open(app);
    if (check >= 0)
        app_do(app, RUN_CHECKED, check, 0, "");
}

/* Asks again what was answered with no. */
static void ask_again(struct app *app)
{
    for (int i = 0; i < app->session.procedure->check_count; i++)
        if (app->session.run.now.checks[i] == 2) {
            app_do(app, RUN_CHECKED, i, 1, "");
            return;
        }
}

static void turn_page(struct app *app)
{
    app->page = (app->page + 1) % PAGES;
    app->scroll = 0;
}

static void up(struct app *app)
{
    app->scroll -= app->scroll > 0;
}

static void down(struct app *app)
{
    app->scroll++;
}

static void back(struct app *app)
{
    if (app->session.record.id)
        app_do(app, RUN_STOPPED, 0, 0, "");
    app_leave_session(app);
}

static const struct key_entry keys[] = {
    {{PRESS_ENTER, PRESS_SPACE},
     "Enter",
     "yes, next",
     "the answer was right; then: go",
     yes},
    {{'n'}, "N", "no", "the answer was wrong or nobody answered", no},
    {{'g'}, "G", "go", "go; asks first where a check is open", ask_go},
    {{PRESS_TAB}, "Tab", "cautions", "turn between the bill and the cautions", turn_page},
    {{PRESS_ESCAPE, 'm'}, "Esc", "muster", "back to the muster", back},
    {{'y'}, "Y", NULL, "what was answered with no is now right", ask_again},
    {{PRESS_UP}, "Up", NULL, "one line up", up},
    {{PRESS_DOWN}, "Down", NULL, "one line down", down},
    {{'q'}, "Q", NULL, "leave foreguy", app_quit},
    {{'?'}, "?", NULL, "this help", app_help},
    {{0}, NULL, NULL, NULL, NULL}};

static int half_of(int32_t ms, int32_t total_ms, int columns)
{
    return total_ms ? (int)((int64_t)ms * columns * 2 / total_ms) : 0;
}

static void draw_lane(const struct app *app, struct canvas *canvas, struct area area,
                      int lane)
{
    const struct session *session = &app->session;
    const struct bill *bill = &session->bill;
    struct text roles = {0};
    words_roles(session->procedure->plan, bill->wears[lane], &roles);
    canvas_printf(canvas, area.row, area.column, STYLE_STRONG, "%2d", lane + 1);
    canvas_put_cut(canvas, area.row, area.column + 3, NAME_COLUMNS, STYLE_STRONG,
                   session->crew->hands[bill->hand[lane]].name);
    int from = area.column + 3 + NAME_COLUMNS, role_columns = area.columns / 4;
    canvas_put_cut(canvas, area.row, from, role_columns - 1, STYLE_PLAIN, roles.at);
    text_free(&roles);
    int bar = from + role_columns, columns = area.column + area.columns - bar - 1;
    for (int i = 0; i < bill->slot_count && columns > 4; i++) {
        const struct bill_slot *slot = &bill->slots[i];
        if (session->rig.lanes_of_step[slot->step] >> lane & 1)
            canvas_bar(canvas, area.row,
                       bar * 2 + half_of(slot->start_ms, bill->total_ms, columns),
                       bar * 2 + half_of(slot->end_ms, bill->total_ms, columns),
                       BAR_LATER, STYLE_NEXT);
    }
}

static int draw_bill(const struct app *app, struct canvas *canvas, struct area area)
{
    const struct bill *bill = &app->session.bill;
    struct text head = {0};
    text_add(&head, "BILL, planned ");
    text_add_seconds(&head, bill->total_ms);
    text_printf(&head, " s; %s", app->session.record.proof);
    canvas_put_cut(canvas, area.row, area.column, area.columns,
                   session_proved(&app->session) ? STYLE_STRONG : STYLE_WARNING, head.at);
    text_free(&head);
    int rows = area.rows - 1 < bill->lane_count ? area.rows - 1 : bill->lane_count;
    for (int lane = 0; lane < rows; lane++)
        draw_lane(app, canvas,
                  (struct area){area.row + 1 + lane, area.column, 1, area.columns}, lane);
    return rows + 1;
}

static void draw_ask(const struct app *app, struct canvas *canvas, struct area area,
                     int check_index)
{
    const struct procedure *procedure = app->session.procedure;
    const struct check *check = &procedure->checks[check_index];
    struct text ask = {0};
    text_printf(&ask, "ASK %s: %s", procedure->plan->roles[check->ask].words,
                check->question);
    int used = canvas_wrap(canvas, area, STYLE_CALL, ask.at);
    text_free(&ask);
    text_printf(&ask, "The answer: \"%s\"", check->answer);
    if (used < area.rows)
        canvas_put_cut(canvas, area.row + used, area.column, area.columns, STYLE_STRONG,
                       ask.at);
    text_free(&ask);
}

/* What vet says hurts when it is forgotten, the worst first. */
static void draw_must_not_miss(const struct app *app, struct canvas *canvas,
                               struct area area)
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
    if (text.at)
        canvas_wrap(canvas, area, STYLE_STRONG, text.at);
    text_free(&text);
}

static void draw_checks(const struct app *app, struct canvas *canvas, struct area area)
{
    static const char *const marks[] = {"[ ]", "[yes]", "[NO]"};
    const struct procedure *procedure = app->session.procedure;
    const struct run_view *now = &app->session.run.now;
    int open = first_open(app);
    if (open >= 0)
        draw_ask(app, canvas, (struct area){area.row, area.column, 3, area.columns},
                 open);
    else if (run_open_checks(&app->session.run))
        canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_WARNING,
                       "NO GO: an answer was no. Y when it is right, or G on purpose.");
    else if (!session_proved(&app->session))
        canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_WARNING,
                       "NO GO: not proved safe. G goes on purpose.");
    else
        canvas_put_cut(canvas, area.row, area.column, area.columns, STYLE_DONE,
                       "All checks answered. Enter: go.");
    for (int i = 0; i < procedure->check_count && i + 3 < area.rows; i++) {
        enum style style = now->checks[i] == 2 ? STYLE_WARNING
                           : i == open         ? STYLE_SELECTED
                                               : STYLE_PLAIN;
        canvas_put(canvas, area.row + 3 + i, area.column, style, marks[now->checks[i]]);
        canvas_put_cut(canvas, area.row + 3 + i, area.column + 6, area.columns - 6,
                       STYLE_PLAIN, procedure->checks[i].question);
    }
}

static const char *const preface =
    "DANGER will, WARNING could cause death or serious injury; CAUTION minor injury; "
    "NOTICE is not about injury (ANSI Z535). The skipper, local rules, the class's and "
    "makers' instructions come before this program.";

/* Several rules can have the same reason; it is said once. */
static bool said_before(const struct procedure *procedure, int rule)
{
    for (int i = 0; i < rule; i++)
        if (strcmp(procedure->rules.at[i].because, procedure->rules.at[rule].because) ==
            0)
            return true;
    return false;
}

/* A page of cautions as it fills; the scroll is the number of those left out above. */
struct page {
    struct canvas *canvas;
    struct area left; /* what is still free of it */
    int above, count;
    bool full;
};

static void put_caution(struct page *page, enum signal signal, const char *text)
{
    int indent = signal ? 10 : 0, columns = page->left.columns - indent;
    int rows = canvas_count_rows(text, columns);
    page->full |= page->count >= page->above && rows > page->left.rows;
    if (page->count++ < page->above || page->left.rows <= 0)
        return;
    if (signal)
        canvas_put(page->canvas, page->left.row, page->left.column, signal_style(signal),
                   signal_name(signal));
    rows = canvas_wrap(page->canvas,
                       (struct area){page->left.row, page->left.column + indent,
                                     page->left.rows, columns},
                       STYLE_PLAIN, text);
    page->left.row += rows;
    page->left.rows -= rows;
}

/* The step warnings and the rules of this signal word. */
static void put_cautions(const struct procedure *procedure, enum signal signal,
                         struct page *page)
{
    for (int i = 0; i < procedure->step_count; i++) {
        const struct warning *warn = &procedure->steps[i].warn;
        struct text text = {0};
        text_printf(&text, "%s: %s %s", procedure->steps[i].name, warn->say, warn->avoid);
        if (warn->signal == signal)
            put_caution(page, signal, text.at);
        text_free(&text);
    }
    for (int i = 0; i < procedure->rules.count; i++)
        if (procedure->rules.at[i].signal == signal && !said_before(procedure, i))
            put_caution(page, signal, procedure->rules.at[i].because);
}

/* Worst signal word first; the last row says that there are more. */
static void draw_cautions(struct app *app, struct canvas *canvas, struct area area)
{
    struct page page = {canvas, area, app->scroll, 0, false};
    page.left.rows--;
    put_caution(&page, SIGNAL_NONE, preface);
    for (int signal = SIGNAL_DANGER; signal >= SIGNAL_NOTICE; signal--)
        put_cautions(app->session.procedure, (enum signal)signal, &page);
    if (page.full)
        canvas_put_cut(canvas, area.row + area.rows - 1, area.column, area.columns,
                       STYLE_STRONG, "More below: Down.");
    app->scroll = app->scroll < page.count ? app->scroll : page.count - 1;
}

static int draw_wind(const struct app *app, struct canvas *canvas, struct area area)
{
    enum signal signal = app_wind_signal(app, app->session.procedure);
    if (!signal)
        return 0;
    canvas_printf(canvas, area.row, area.column, signal_style(signal),
                  "%s: %s kn true; caution from %.0f kn, not above %.0f kn.",
                  signal_name(signal), app->wind, app->session.procedure->caution_kn,
                  app->session.procedure->stop_kn);
    return 1;
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    struct area inside = {area.row, 1, area.rows, area.columns - 2};
    if (app->page == 1) {
        draw_cautions(app, canvas, inside);
        return;
    }
    int used = draw_wind(app, canvas, inside);
    int checks = inside.rows > 14 ? app->session.procedure->check_count + 3 : 3;
    int miss = inside.rows > 14 && app->session.must_not_miss_count ? 2 : 0;
    int bill = inside.rows - checks - used - miss;
    inside.row += used;
    if (bill > 2) {
        inside.rows = bill;
        inside.row += draw_bill(app, canvas, inside);
        draw_must_not_miss(app, canvas,
                           (struct area){inside.row, 1, miss, inside.columns});
        inside.row += miss;
    }
    inside.rows = area.row + area.rows - inside.row;
    draw_checks(app, canvas, inside);
}

static void tell(const struct app *app, struct text *out)
{
    const struct session *session = &app->session;
    text_printf(out, "%s, %s, %s tack", session->procedure->title,
                run_mode_name(session->run.mode), board_name(session->procedure->board));
}

const struct screen brief_screen = {"Brief", keys, draw, tell, NULL};
