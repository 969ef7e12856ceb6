/* What is said below the call: what was broken, who does it, what is done, what warns. */
#include "screens/run_parts.h"

#include "base/text.h"
#include "cards/words.h"
#include "screens/glyphs.h"

#include <string.h>

/* In the order in which they stand. */
enum paragraph_kind { SAID_BROKEN, SAID_WHO, SAID_DOING, SAID_WARNING, SAID_COUNT };

struct paragraph {
    enum style style; /* of the lead where there is one, else of the text */
    const char *lead; /* a signal word, or "" */
    struct text text;
    int rows;
};

struct said {
    struct paragraph at[SAID_COUNT];
};

/* "Caller: "Trip!"  Fenna: "Tripped"". */
static void add_who(const struct app *app, int due, struct text *out)
{
    const struct session *session = &app->session;
    const struct step *step = &session->procedure->steps[due];
    if (*step->call.say)
        text_printf(out, "%s calls \"%s\"  ",
                    session->procedure->plan->roles[step->call.by].words, step->call.say);
    words_doers(&session->rig, &session->bill, session->crew, due, out);
    text_add(out, " (");
    words_roles(session->procedure->plan, step->roles, out);
    text_add(out, ")");
    if (*step->reply)
        text_printf(out, " answers \"%s\"", step->reply);
}

static void add_waiting(const struct app *app, struct text *out)
{
    const struct run *run = &app->session.run;
    int next = run_next_due(run);
    if (next < 0)
        return;
    text_add(out, "Nobody can go on. ");
    words_step(run->rig->procedure, next, out);
    text_add(out, ": ");
    words_not_yet(run, app->session.crew, next, out);
}

static void say_who(const struct app *app, struct paragraph *out)
{
    const struct run *run = &app->session.run;
    int called = run_called(run, app_now_ms(app));
    out->style = STYLE_STRONG;
    if (run->now.phase == RUN_ON_HOLD)
        text_add(&out->text, "Everybody freezes, lines stay tended. H goes on.");
    else if (called >= 0)
        add_who(app, called, &out->text);
    else if (app_follows_plan(app))
        text_add(&out->text, "By the plan all of it is made. A: it is, without times.");
    else
        add_waiting(app, &out->text);
}

/* What was broken stands until it is deliberately put away: IS where the rig still is so.
 */
static void say_broken(const struct app *app, struct paragraph *out)
{
    const struct run *run = &app->session.run;
    int count, i = run_warning(run, &count);
    if (i < 0)
        return;
    const struct finding *finding = &run->now.found[i].finding;
    enum signal signal = finding->kind == FINDING_RULE
                             ? run->rig->procedure->rules.at[finding->index].signal
                             : SIGNAL_WARNING;
    out->style = signal_style(signal);
    text_printf(&out->text, "%s BROKEN, W seen. ",
                run->now.found[i].broken ? "IS" : "WAS");
    if (count > 1)
        text_printf(&out->text, "1 of %d: ", count);
    words_found(run, app->session.crew, i, &out->text);
}

static void say_doing(const struct app *app, int step, struct paragraph *out)
{
    const struct run *run = &app->session.run;
    if (run_only_when_seen(run, step, app_now_ms(app))) {
        text_add(&out->text, "Only ");
        words_when_seen(run, step, app_now_ms(app), &out->text);
        text_add(&out->text, ". ");
    }
    text_add(&out->text, run->rig->procedure->steps[step].doing);
}

static void say_step_warning(const struct step *step, struct paragraph *out)
{
    if (!step->warn.signal)
        return;
    out->style = signal_style(step->warn.signal);
    out->lead = signal_name(step->warn.signal);
    text_printf(&out->text, "%s %s", step->warn.say, step->warn.avoid);
}

static int lead_columns(const struct paragraph *paragraph)
{
    return *paragraph->lead ? glyph_text_width(paragraph->lead) + 1 : 0;
}

/* All of it, and the rows that each takes in COLUMNS. */
static struct said say(const struct app *app, int columns)
{
    const struct run *run = &app->session.run;
    int called = run_called(run, app_now_ms(app));
    struct said said = {0};
    for (int i = 0; i < SAID_COUNT; i++)
        said.at[i].lead = "";
    say_broken(app, &said.at[SAID_BROKEN]);
    say_who(app, &said.at[SAID_WHO]);
    struct paragraph *doing = &said.at[SAID_DOING];
    if (run->now.question >= 0) {
        doing->style = STYLE_CAUTION;
        text_add(&doing->text, "T too, E early? ");
        words_question(run, app->session.crew, &doing->text);
    } else if (called >= 0 && run->now.phase == RUN_LIVE) {
        say_doing(app, called, doing);
        say_step_warning(&run->rig->procedure->steps[called], &said.at[SAID_WARNING]);
    }
    for (int i = 0; i < SAID_COUNT; i++)
        said.at[i].rows =
            canvas_count_rows(said.at[i].text.at, columns - lead_columns(&said.at[i]));
    return said;
}

static void forget(struct said *said)
{
    for (int i = 0; i < SAID_COUNT; i++)
        text_free(&said->at[i].text);
}

static int count_rows(const struct said *said)
{
    int rows = 0;
    for (int i = 0; i < SAID_COUNT; i++)
        rows += said->at[i].rows;
    return rows;
}

/* Where there is not room for all, what warns is cut last, and an open question after
 * who does the step. */
static void fit_into(struct said *said, int rows, bool is_asked)
{
    const enum paragraph_kind first = is_asked ? SAID_WHO : SAID_DOING;
    const enum paragraph_kind second = is_asked ? SAID_DOING : SAID_WHO;
    const struct {
        enum paragraph_kind kind;
        int least;
    } cuts[] = {{first, 1},  {second, 1},       {SAID_BROKEN, 2},
                {first, 0},  {SAID_WARNING, 1}, {SAID_BROKEN, 1},
                {second, 0}, {SAID_WARNING, 0}, {SAID_BROKEN, 0}};
    for (size_t i = 0; i < sizeof cuts / sizeof *cuts; i++) {
        struct paragraph *paragraph = &said->at[cuts[i].kind];
        while (paragraph->rows > cuts[i].least && count_rows(said) > rows)
            paragraph->rows--;
    }
}

static int draw_paragraph(struct canvas *canvas, struct area area,
                          const struct paragraph *paragraph)
{
    int lead = lead_columns(paragraph);
    area.rows = paragraph->rows;
    if (area.rows && lead)
        canvas_put(canvas, area.row, area.column, paragraph->style, paragraph->lead);
    area.column += lead;
    area.columns -= lead;
    return canvas_wrap(canvas, area, lead ? STYLE_PLAIN : paragraph->style,
                       paragraph->text.at);
}

int run_count_said(const struct app *app, int columns)
{
    struct said said = say(app, columns);
    int rows = count_rows(&said);
    forget(&said);
    return rows;
}

int run_draw_said(const struct app *app, struct canvas *canvas, struct area area)
{
    struct said said = say(app, area.columns);
    fit_into(&said, area.rows, app->session.run.now.question >= 0);
    int rows = 0;
    for (int i = 0; i < SAID_COUNT; i++)
        rows += draw_paragraph(
            canvas, (struct area){area.row + rows, area.column, 0, area.columns},
            &said.at[i]);
    forget(&said);
    return rows;
}

int run_count_broken(const struct app *app, int columns)
{
    struct said said = say(app, columns);
    int rows = said.at[SAID_BROKEN].rows;
    forget(&said);
    return rows;
}

int run_draw_broken(const struct app *app, struct canvas *canvas, struct area area)
{
    struct said said = say(app, area.columns);
    int rows = said.at[SAID_BROKEN].rows < area.rows
                   ? draw_paragraph(canvas, area, &said.at[SAID_BROKEN])
                   : canvas_wrap(canvas, area, said.at[SAID_BROKEN].style,
                                 said.at[SAID_BROKEN].text.at);
    forget(&said);
    return rows;
}
