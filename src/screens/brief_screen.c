/* The bill, the cautions, the checks asked and answered, the go or why not. */
#include "screens/brief_parts.h"

#include "base/text.h"

int brief_open_check(const struct app *app)
{
    const struct run *run = &app->session.run;
    for (int i = 0; i < app->session.procedure->check_count; i++)
        if (!run->now.checks[i])
            return i;
    return -1;
}

static bool is_allowed(const struct app *app)
{
    struct text against = {0};
    bool is = !session_against(&app->session, &against);
    text_free(&against);
    return is;
}

/* At once where everything is answered, proved and within the limits; else it takes a
 * deliberate Y. */
static void ask_go(struct app *app)
{
    if (run_open_checks(&app->session.run) || !is_allowed(app))
        app->asking = ASKING_GO;
    else
        app_do(app, RUN_GO, 0, 0, "");
}

static void yes(struct app *app)
{
    int check = brief_open_check(app);
    if (check >= 0)
        app_do(app, RUN_CHECKED, check, 1, "");
    else
        ask_go(app);
}

static void no(struct app *app)
{
    int check = brief_open_check(app);
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

static void type_mark(struct app *app)
{
    app->typed[0] = '\0';
    app->asking = TYPING_MARK;
}

static void next_list(struct app *app)
{
    app->scroll.by_heads++;
}

static void back(struct app *app)
{
    app_stop_brief(app);
    app_leave_session(app);
}

static const struct key_entry keys[] = {
    {{PRESS_ENTER, PRESS_SPACE},
     "Enter",
     "yes",
     "the answer was right; go once all are answered",
     yes},
    {{'n'}, "N", "no", "the answer was wrong or nobody answered", no},
    {{PRESS_TAB}, "Tab", "next list", "bill, checks, cards, cautions", next_list},
    {{'g'}, "G", "go", "go; asks first where a check is open", ask_go},
    {{'d'},
     "D",
     "distance",
     "how far it is to the mark; then it is counted down",
     type_mark},
    {{'b'},
     "B",
     "bill",
     "change the bill by hand; checks are asked again",
     app_back_to_bill},
    {{PRESS_ESCAPE, 'm'}, "Esc", "muster", "back to the muster", back},
    {{'y'}, "Y", "now yes", "what was answered with no is now right", ask_again},
    SCROLL_KEYS,
    {{'q'}, "Q", NULL, "leave foreguy", app_quit},
    {{'?'}, "?", NULL, "this help", app_help},
    {{0}, NULL, NULL, NULL, NULL}};

/* What Enter does and whether there is anything to answer depends on the checks. */
static const char *hint(const struct app *app, const struct key_entry *entry)
{
    bool is_open = brief_open_check(app) >= 0;
    bool is_clear = !run_open_checks(&app->session.run) && is_allowed(app);
    if (entry->act == yes)
        return is_open ? "yes" : is_clear ? "go" : NULL;
    if (entry->act == app_back_to_bill && !app_briefs_kit(app))
        return NULL;
    if (entry->act == no && !is_open)
        return NULL;
    if (entry->act == ask_go && is_clear)
        return NULL; /* Enter does it */
    if (entry->act == ask_again && (is_open || !run_open_checks(&app->session.run)))
        return NULL;
    return entry->label;
}

static int draw_question(const struct app *app, struct canvas *canvas, struct area area,
                         int check_index)
{
    const struct procedure *procedure = app->session.procedure;
    const struct check *check = &procedure->checks[check_index];
    struct text ask = {0};
    text_printf(&ask, "ASK %s: %s", procedure->plan->roles[check->ask].words,
                check->question);
    int used = canvas_wrap(canvas, area, STYLE_NOW, ask.at);
    text_free(&ask);
    text_printf(&ask, "The answer: \"%s\"", check->answer);
    used += canvas_wrap(
        canvas,
        (struct area){area.row + used, area.column, area.rows - used, area.columns},
        STYLE_STRONG, ask.at);
    text_free(&ask);
    return used;
}

/* What speaks against the go; no row where nothing does. */
static int draw_against(const struct app *app, struct canvas *canvas, struct area area)
{
    struct text text = {0};
    int used = 0;
    text_add(&text, "NO GO: ");
    if (session_against(&app->session, &text)) {
        text_add(&text, ". G goes on purpose.");
        used = canvas_wrap(canvas, area, STYLE_WARNING, text.at);
    }
    text_free(&text);
    return used;
}

/* The question that is open, or the go, or why not.  Returns the rows used. */
static int draw_ask(const struct app *app, struct canvas *canvas, struct area area)
{
    int open = brief_open_check(app);
    if (open >= 0)
        return draw_question(app, canvas, area, open);
    if (run_open_checks(&app->session.run))
        return canvas_wrap(
            canvas, area, STYLE_WARNING,
            "NO GO: an answer was no. Y when it is right, or G on purpose.");
    int used = draw_against(app, canvas, area);
    return used
               ? used
               : canvas_wrap(canvas, area, STYLE_DONE, "All checks answered. Enter: go.");
}

enum { ASK_ROWS = 2, ROOMY_ROWS = 15 };

/* The question stays where it is while the list below it is scrolled. */
static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    struct area inside = {area.row, 1, area.rows, area.columns - 2};
    struct area ask = inside;
    ask.rows = area.rows < ROOMY_ROWS ? area.rows - 2 : area.rows / 2;
    int used = draw_ask(app, canvas, ask);
    if (area.rows >= ROOMY_ROWS && used < ASK_ROWS)
        used = ASK_ROWS;
    inside.row += used;
    inside.rows -= used;
    scroll_draw(&app->scroll, canvas, inside, brief_fill, app);
}

static void tell(const struct app *app, struct text *out)
{
    const struct session *session = &app->session;
    text_printf(out, "%s, %s, %s tack", session->procedure->title,
                run_mode_name(session->run.mode), board_name(session->procedure->board));
}

const struct screen brief_screen = {"Brief", keys, draw, tell, NULL, hint};
