/* What the keys of the live run do. */
#include "screens/run_parts.h"

#include <string.h>

/* Shown as pressed at once, stored, then shown as made. */
static void make(struct app *app, int step, int key)
{
    app->pressed = step;
    if (app->world.show)
        app->world.show(app, app->world.self);
    app_do(app, RUN_MADE, step, key, "");
    app->pressed = -1;
}

static void make_due(struct app *app)
{
    const struct run *run = &app->session.run;
    if (run->now.phase == RUN_ON_HOLD) {
        app_say(app, "On hold: H goes on. A digit marks what was made all the same.");
        return;
    }
    int called = run_called(run, app_now_ms(app));
    if (called < 0 && app_follows_plan(app)) {
        app_say(app, "The plan is over: A all made; a digit or C marks where you are.");
        return;
    }
    called = called < 0 ? run_next_due(run) : called;
    if (called >= 0)
        make(app, called, 0);
}

void run_digit(struct app *app, int digit)
{
    int lane = digit ? digit - 1 : 9;
    if (lane >= app->session.bill.lane_count) {
        app_say(app, "There is no hand %d on this bill.", lane + 1);
        return;
    }
    int step = run_lane_called(&app->session.run, lane, app_now_ms(app));
    if (step >= 0)
        make(app, step, lane + 1);
    else
        app_say(app, "That card is done.");
}

static void undo(struct app *app)
{
    app_do(app, RUN_UNDONE, 0, 0, "");
}

static void hold(struct app *app)
{
    bool held = app->session.run.now.phase == RUN_ON_HOLD;
    app_do(app, held ? RUN_WENT_ON : RUN_HELD, 0, 0, "");
}

static void answer(struct app *app, enum run_kind kind, const char *words)
{
    int step = app->session.run.now.question;
    if (step < 0) {
        app_say(app, "Nothing is asked just now.");
        return;
    }
    if (!app_do(app, kind, step, 0, ""))
        return;
    char gone[sizeof app->message];
    memcpy(gone, app->message, sizeof gone);
    app_say(app, "%s %s", words, gone);
}

static void too(struct app *app)
{
    answer(app, RUN_TOO, "Made too: kept without a time.");
}

static void early(struct app *app)
{
    answer(app, RUN_EARLY, "Early: kept as a breach.");
}

static void choose_lane(struct app *app, int by)
{
    int lanes = app->session.bill.lane_count;
    app->chosen_lane += by;
    if (app->chosen_lane >= lanes)
        app->chosen_lane = lanes - 1;
    if (app->chosen_lane < -1)
        app->chosen_lane = -1;
}

static void lane_up(struct app *app)
{
    choose_lane(app, -1);
}

static void lane_down(struct app *app)
{
    choose_lane(app, 1);
}

static void skip(struct app *app)
{
    app->asking = ASKING_SKIP;
}

static void catch_up(struct app *app)
{
    app->asking = ASKING_CATCH_UP;
}

static void all_made(struct app *app)
{
    app->asking = ASKING_ALL_MADE;
}

static void begun(struct app *app)
{
    const struct run *run = &app->session.run;
    int64_t now_ms = app_now_ms(app);
    int lane = app->chosen_lane;
    int step = lane >= 0 ? run_lane_called(run, lane, now_ms) : run_called(run, now_ms);
    if (step >= 0)
        app_do(app, RUN_BEGUN, step, lane + 1, "");
}

static void lost(struct app *app)
{
    app->asking = ASKING_LOST;
}

/* The first press stamps the time; later ones put the memory items away and back. */
static void overboard(struct app *app)
{
    if (app->session.run.now.overboard_ms < 0)
        app_do(app, RUN_OVERBOARD, 0, 0, "");
    else
        app->overboard_hidden = !app->overboard_hidden;
}

static void seen(struct app *app)
{
    if (run_warning(&app->session.run, NULL) < 0)
        app_say(app, "No warning stands.");
    else
        app_do(app, RUN_SEEN, 0, 0, "");
}

static void type_mark(struct app *app)
{
    app->typed[0] = '\0';
    app->asking = TYPING_MARK;
}

static void note(struct app *app)
{
    memset(app->typed, 0, sizeof app->typed);
    app->asking = TYPING_NOTE;
}

static void far_view(struct app *app)
{
    app->far = !app->far;
}

const struct key_entry run_keys[] = {
    {{PRESS_SPACE, PRESS_ENTER, PRESS_RIGHT, PRESS_PAGE_DOWN},
     "Space",
     "made",
     "the step that stands big is made (also Enter, Right, Page Down)",
     make_due},
    {{'t'}, "T", "too", "asked about a mark: what was missing was made too", too},
    {{'e'}, "E", "early", "asked about a mark: it really was early", early},
    {{'w'},
     "W",
     "seen",
     "the warning of what was broken is seen and put away; it stands until then, or "
     "until an answer or an undo says that nothing was broken",
     seen},
    {{'u', PRESS_BACKSPACE}, "U", "undo", "take back the newest mark", undo},
    {{'h'}, "H", "hold", "everybody freezes, the plan stands still; again: go on", hold},
    {{'r'},
     "R",
     "recover",
     "something has gone wrong: what fits the rig now",
     app_recover},
    {{'c'}, "C", "catch up", "all planned before the step is made, untimed", catch_up},
    {{'s'}, "S", "skip", "leave the step out", skip},
    {{'n'}, "N", "note", "write a note into the logbook", note},
    {{'d'}, "D", NULL, "how far it is to the mark; then it is counted down", type_mark},
    {{'f'}, "F", "far", "the call alone, to be read from far away", far_view},
    {{'q', PRESS_ESCAPE}, "Q", "stop", "stop the run; asks first", app_quit},
    {{PRESS_UP},
     "Up Down",
     NULL,
     "choose a hand: for skip, catch up and begun, and to read all of its line",
     lane_up},
    {{PRESS_DOWN}, NULL, NULL, NULL, lane_down},
    {{'x'}, "X", NULL, "a hand is lost to the manoeuvre: a new bill at once", lost},
    {{'!'},
     "!",
     NULL,
     "person overboard: stamps the time, shows the memory items",
     overboard},
    {{'b'}, "B", NULL, "the step is seen to be begun", begun},
    {{'a'}, "A", NULL, "all made: ends the run without times", all_made},
    {{'?'}, "?", NULL, "this help; 1 to 9 and 0: that hand's step is made", app_help},
    {{0}, NULL, NULL, NULL, NULL}};

const char *run_hint(const struct app *app, const struct key_entry *entry)
{
    const struct run_view *now = &app->session.run.now;
    if (entry->act == seen && run_warning(&app->session.run, NULL) < 0)
        return NULL;
    if ((entry->act == too || entry->act == early) && now->question < 0)
        return NULL;
    if (entry->act == hold && now->phase == RUN_ON_HOLD)
        return "go on";
    if (entry->act == make_due && now->phase == RUN_ON_HOLD)
        return NULL;
    if (entry->act == far_view && app->far)
        return "near";
    return entry->label;
}
