/* The questions and the typing that stand over a screen, and where keys go. */
#include "screens/app.h"
#include "screens/asking.h"
#include "screens/muster_parts.h"

#include "base/text.h"
#include "cards/words.h"
#include "screens/glyphs.h"

#include <stdio.h>
#include <string.h>

/* The step that skip and catch-up are about. */
static int chosen_step(const struct app *app)
{
    const struct run *run = &app->session.run;
    if (app->chosen_lane >= 0)
        return run_lane_called(run, app->chosen_lane, app_now_ms(app));
    int called = run_called(run, app_now_ms(app));
    return called >= 0 ? called : run_next_due(run);
}

/* What speaks against it is stored with it. */
static void go(struct app *app)
{
    struct text against = {0};
    text_add(&against, "");
    session_against(&app->session, &against);
    app_do(app, RUN_GO, 0, run_open_checks(&app->session.run), against.at);
    text_free(&against);
}

static void answer_yes(struct app *app, enum asking asking)
{
    int step = app->has_session ? chosen_step(app) : -1;
    switch (asking) {
    case ASKING_QUIT:
        app->over = true;
        break;
    case ASKING_STOP:
        app_do(app, RUN_STOPPED, 0, 0, "");
        break;
    case ASKING_GO:
        go(app);
        break;
    case ASKING_SKIP:
        if (step >= 0)
            app_do(app, RUN_SKIPPED, step, 0, "");
        break;
    case ASKING_CATCH_UP:
        if (step >= 0)
            app_do(app, RUN_CAUGHT_UP, step, 0, "");
        break;
    case ASKING_ALL_MADE:
        app_do(app, RUN_ALL_MADE, 0, 0, "");
        break;
    case ASKING_NOTHING:
    case ASKING_LOST:
    case TYPING_NOTE:
    case TYPING_WIND:
    case TYPING_MARK:
        break;
    }
}

static void answer_lost(struct app *app, uint32_t key)
{
    int lane = key == '0' ? 9 : (int)key - '1';
    if (key >= '0' && key <= '9' && lane < app->session.bill.lane_count)
        app_lose(app, lane);
}

static void end_typing(struct app *app)
{
    enum asking what = app->asking;
    app->asking = ASKING_NOTHING;
    if (what == TYPING_NOTE && *app->typed) {
        app_do(app, RUN_NOTED, 0, 0, app->typed);
    } else if (what == TYPING_MARK) {
        if (!to_mark_take(app, app->typed))
            app_say(app, "Like 400m 6kn, 12 lengths 6kn or 130 s; empty: no mark.");
        else
            app_do(app, RUN_MARK, 0, 0, app->mark.said);
    } else if (what == TYPING_WIND) {
        enum weather_wrong wrong = muster_take_wind(app);
        if (wrong)
            app_say(app, "No: %s.", words_weather_wrong(wrong));
    }
}

static void delete_last(char *typed)
{
    size_t length = strlen(typed);
    while (length && ((unsigned char)typed[length - 1] & 0xC0) == 0x80)
        length--; /* the tail of one character */
    if (length)
        typed[length - 1] = '\0';
}

static void type_key(struct app *app, uint32_t key, bool text)
{
    if (key == PRESS_ENTER && !text) {
        end_typing(app);
    } else if (key == PRESS_ESCAPE && !text) {
        app->asking = ASKING_NOTHING;
    } else if (key == PRESS_BACKSPACE) {
        delete_last(app->typed);
    } else if (key >= ' ' && key < PRESS_UP && key != 0x7F) {
        char bytes[4];
        size_t length = (size_t)glyph_write(key, bytes), used = strlen(app->typed);
        if (used + length < sizeof app->typed) {
            memcpy(app->typed + used, bytes, length);
            app->typed[used + length] = '\0';
        }
    }
}

bool asking_takes(struct app *app, uint32_t key, bool text)
{
    enum asking asking = app->asking;
    if (asking == ASKING_NOTHING)
        return false;
    if (asking >= TYPING_NOTE) {
        type_key(app, key, text);
        return true;
    }
    app->asking = ASKING_NOTHING;
    if (asking == ASKING_LOST)
        answer_lost(app, key);
    else if (key == 'y' || key == 'Y')
        answer_yes(app, asking);
    return true;
}

const char *asking_keys(const struct app *app)
{
    switch (app->asking) {
    case ASKING_NOTHING:
        return NULL;
    case TYPING_NOTE:
    case TYPING_WIND:
    case TYPING_MARK:
        return "Enter keeps it, Esc drops it";
    case ASKING_LOST:
        return "A digit, or any other key: nobody";
    default:
        return "Y yes, any other key no";
    }
}

static void add_chosen(const struct app *app, const char *before, const char *behind,
                       struct text *out)
{
    int step = chosen_step(app);
    text_add(out, before);
    if (step >= 0)
        words_step(app->session.procedure, step, out);
    text_add(out, behind);
}

static void add_against(const struct app *app, struct text *out)
{
    struct text against = {0};
    if (session_against(&app->session, &against))
        text_printf(out, "Against it: %s.", against.at);
    if (!session_proved(&app->session))
        text_printf(out, " Vet: %s.", app->session.record.proof);
    text_free(&against);
}

/* The key comes first, so that a narrow screen cuts the words and not the question. */
void asking_write(const struct app *app, struct text *out)
{
    int open = app->has_session ? run_open_checks(&app->session.run) : 0;
    switch (app->asking) {
    case ASKING_NOTHING:
        text_add(out, app->message);
        break;
    case ASKING_QUIT:
        text_add(out, "Leave foreguy? Y yes, any other key no.");
        break;
    case ASKING_STOP:
        text_add(out, "Stop this run? Y stops it, any other key goes on.");
        break;
    case ASKING_GO:
        text_add(out, "Go all the same? Y go. ");
        if (open)
            text_printf(out, "%d check%s not answered yes. ", open, open > 1 ? "s" : "");
        add_against(app, out);
        break;
    case ASKING_SKIP:
        text_add(out, session_hurts_without(&app->session, chosen_step(app))
                          ? "LEFT OUT IT HURTS. "
                          : "");
        add_chosen(app, "Y leaves out ", ": nothing of it will have happened.", out);
        break;
    case ASKING_CATCH_UP:
        add_chosen(app, "Y catches up to ", ": all planned before it was made.", out);
        break;
    case ASKING_ALL_MADE:
        text_add(out, "Everything made? Y yes: ends the run without times.");
        break;
    case ASKING_LOST:
        text_add(out, "Which hand is lost to the manoeuvre? Its digit makes a new bill.");
        break;
    case TYPING_NOTE:
        text_printf(out, "Note: %s_", app->typed);
        break;
    case TYPING_WIND:
        muster_ask_wind(app, out);
        break;
    case TYPING_MARK:
        text_printf(out, "To the mark, and how fast (400m 6kn, 130 s): %s_", app->typed);
        break;
    }
}
