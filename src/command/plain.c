#include "command/plain.h"

#include "base/text.h"
#include "cards/sheet_loads.h"
#include "cards/sheets.h"
#include "cards/words.h"
#include "command/context.h"
#include "command/plain_tell.h"
#include "command/rescue.h"

#include <limits.h>
#include <poll.h>
#include <string.h>
#include <unistd.h>

enum { LINE_MAX_BYTES = 400 };

struct plain {
    struct session *session;
    struct script *script;
    enum units units;
    bool allowed; /* nothing speaks against it, or it is said on purpose */
    struct called called;
};

/* One line of standard input, cut to ROOM: the rest of a long line is no line of its own,
 * and a NUL ends nothing; an empty line makes a step, so none may come of junk. */
static bool read_input(char *out, size_t room)
{
    size_t length = 0;
    int c = getchar();
    if (c == EOF)
        return false;
    for (; c != EOF && c != '\n'; c = getchar())
        if (c != '\r' && length + 1 < room)
            out[length++] = (char)(c ? c : '?');
    out[length] = '\0';
    return true;
}

static bool read_line(struct plain *plain, char *out, size_t room)
{
    if (plain->script) {
        if (!script_next(plain->script, out, room))
            return false;
        if (strcmp(out, "enter") == 0 || strcmp(out, "space") == 0)
            *out = '\0';
        return true;
    }
    return read_input(out, room);
}

static void tell_help(void)
{
    fputs("empty line: the step that is due is made\n"
          "made STEP, begun STEP, skip STEP, catch-up STEP\n"
          "too, early: answers when a mark came before its time\n"
          "undo, hold, on, all-made, overboard, note TEXT, where, stop\n"
          "seen: what was broken is seen, where does not tell it any more\n"
          "before the go: empty line or yes, no, go, go anyway\n",
          stdout);
    fflush(stdout);
}

static void do_event(struct plain *plain, enum run_kind kind, int step, int value,
                     const char *text)
{
    switch (session_do(plain->session, kind, step, value, text)) {
    case RUN_TAKEN:
        tell_out(plain->session);
        break;
    case RUN_REPEATED:
        fputs("ignored: the same key twice at once\n", stdout);
        break;
    case RUN_REFUSED:
        fputs("that means nothing now; ? tells what can be said\n", stdout);
        break;
    case RUN_FULL:
        fputs("this run takes no more events; stop it\n", stdout);
        break;
    }
    fflush(stdout);
}

struct verb {
    const char *name;
    enum run_kind kind;
    enum { TAKES_NOTHING, TAKES_STEP, TAKES_TEXT, TAKES_QUESTION } takes;
};

static const struct verb verbs[] = {
    {"made", RUN_MADE, TAKES_STEP},      {"begun", RUN_BEGUN, TAKES_STEP},
    {"skip", RUN_SKIPPED, TAKES_STEP},   {"catch-up", RUN_CAUGHT_UP, TAKES_STEP},
    {"too", RUN_TOO, TAKES_QUESTION},    {"early", RUN_EARLY, TAKES_QUESTION},
    {"undo", RUN_UNDONE, TAKES_NOTHING}, {"hold", RUN_HELD, TAKES_NOTHING},
    {"on", RUN_WENT_ON, TAKES_NOTHING},  {"all-made", RUN_ALL_MADE, TAKES_NOTHING},
    {"seen", RUN_SEEN, TAKES_NOTHING},   {"overboard", RUN_OVERBOARD, TAKES_NOTHING},
    {"note", RUN_NOTED, TAKES_TEXT},     {"stop", RUN_STOPPED, TAKES_NOTHING}};

static void do_verb(struct plain *plain, const struct verb *verb, const char *rest)
{
    const struct session *session = plain->session;
    int step = 0, key = 0;
    if (verb->takes == TAKES_STEP) {
        step = procedure_step(session->procedure, rest);
        for (int lane = 0; step >= 0 && lane < session->bill.lane_count; lane++)
            if (session->rig.lanes_of_step[step] >> lane & 1)
                key = lane + 1;
    } else if (verb->takes == TAKES_QUESTION) {
        step = session->run.now.question;
        if (step < 0) {
            fputs("there is no question to answer\n", stdout);
            return;
        }
    }
    if (step < 0)
        printf("there is no step '%s' in this procedure\n", rest);
    else
        do_event(plain, verb->kind, step, key, verb->takes == TAKES_TEXT ? rest : "");
    if (verb->kind == RUN_SKIPPED && step >= 0 && session_hurts_without(session, step))
        puts("LEFT OUT IT HURTS; undo takes it back");
}

static void do_line(struct plain *plain, const char *line)
{
    size_t length = strcspn(line, " ");
    const char *rest = line + length + strspn(line + length, " ");
    if (strcmp(line, "?") == 0 || strcmp(line, "help") == 0) {
        tell_help();
        return;
    }
    if (strcmp(line, "where") == 0) {
        tell_where(plain->session);
        return;
    }
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++)
        if (strlen(verbs[i].name) == length &&
            strncmp(verbs[i].name, line, length) == 0) {
            do_verb(plain, &verbs[i], rest);
            return;
        }
    printf("'%s' is not known; ? tells what can be said\n", line);
}

/* The step whose call was said last. */
static void do_due(struct plain *plain)
{
    const struct run *run = &plain->session->run;
    int step = plain->called.step;
    if (step < 0 && !plain->called.planned)
        step = run_next_due(run);
    if (run->now.phase == RUN_ON_HOLD)
        fputs("on hold; say on to go on\n", stdout);
    else if (step >= 0)
        do_event(plain, RUN_MADE, step, 0, "");
    else
        fputs("the plan is over; say all-made, or what was made\n", stdout);
}

static void tell_proof(const struct session *session, struct text *out)
{
    text_printf(out, "Vet: %s.\n", session->record.proof);
    for (int i = 0; i < session->must_not_miss_count; i++) {
        text_add(out, i ? ", " : "Must not be missed: ");
        words_step(session->procedure, session->must_not_miss[i], out);
        text_add(out, " (");
        words_doers(&session->rig, &session->bill, session->crew,
                    session->must_not_miss[i], out);
        text_add(out, ")");
    }
    text_add(out, session->must_not_miss_count ? "\n" : "");
}

static void tell_rules(const struct procedure *procedure, enum signal signal,
                       struct text *out)
{
    const char *reasons[RULES_MAX];
    int count = words_reasons(procedure, signal, reasons);
    for (int i = 0; i < count; i++)
        text_printf(out, "%s: %s\n", signal_name(signal), reasons[i]);
}

static void tell_brief(const struct session *session, enum units units)
{
    const struct procedure *procedure = session->procedure;
    struct text out = {0};
    text_printf(&out, "%s on %s, %s, %d hands.\n%s\n", procedure->title,
                board_name(procedure->board), run_mode_name(session->run.mode),
                session->bill.lane_count, procedure->about);
    sheet_bill(procedure, session->crew, &session->bill, &out);
    sheet_loads(procedure, units, &out);
    for (int signal = SIGNAL_DANGER; signal >= SIGNAL_CAUTION; signal--)
        tell_rules(procedure, (enum signal)signal, &out);
    sheet_cautions(&out);
    tell_proof(session, &out);
    if (!session->logbook)
        text_add(&out, "NOT RECORDED: this run leaves nothing in the logbook.\n");
    tell_text(&out);
}

static int first_open_check(const struct session *session)
{
    for (int i = 0; i < session->procedure->check_count; i++)
        if (!session->run.now.checks[i])
            return i;
    return -1;
}

static void ask_check(const struct session *session, int i)
{
    const struct check *check = &session->procedure->checks[i];
    struct text out = {0};
    text_printf(&out, "ASK  %s: %s Answer \"%s\". Empty line: yes; or no.\n",
                session->procedure->plan->roles[check->ask].words, check->question,
                check->answer);
    tell_text(&out);
}

static void ask_go(const struct plain *plain)
{
    int open = run_open_checks(&plain->session->run);
    struct text out = {0};
    if (open)
        text_printf(&out, "%d checks are not answered yes: no go. ", open);
    if (!plain->allowed) {
        text_add(&out, "NO GO: ");
        session_against(plain->session, &out);
        text_add(&out, ". ");
        if (!session_proved(plain->session))
            text_printf(&out, "Vet: %s. ", plain->session->record.proof);
    }
    text_add(&out, open || !plain->allowed
                       ? "Say go anyway to go all the same, or stop.\n"
                       : "All ready. Empty line: go.\n");
    tell_text(&out);
}

/* What speaks against it is stored with it. */
static void go(struct plain *plain)
{
    struct text against = {0};
    text_add(&against, "");
    session_against(plain->session, &against);
    do_event(plain, RUN_GO, 0, run_open_checks(&plain->session->run), against.at);
    text_free(&against);
}

static void brief_line(struct plain *plain, const char *line, int check)
{
    bool anyway = strcmp(line, "go anyway") == 0;
    bool ready = !run_open_checks(&plain->session->run) && plain->allowed;
    bool goes = anyway || strcmp(line, "go") == 0 || (!*line && check < 0);
    if (goes && (ready || anyway))
        go(plain);
    else if (check >= 0 && (!*line || strcmp(line, "yes") == 0))
        do_event(plain, RUN_CHECKED, check, 1, "");
    else if (check >= 0 && strcmp(line, "no") == 0)
        do_event(plain, RUN_CHECKED, check, 0, "");
    else if (!goes)
        do_line(plain, line);
}

/* The questions, then the go; false where it never comes to one. */
static bool brief(struct plain *plain)
{
    const struct session *session = plain->session;
    char line[LINE_MAX_BYTES];
    if (session->run.now.phase == RUN_BRIEFING)
        tell_brief(session, plain->units);
    while (session->run.now.phase == RUN_BRIEFING) {
        int check = first_open_check(session);
        if (check >= 0)
            ask_check(session, check);
        else
            ask_go(plain);
        if (!read_line(plain, line, sizeof line))
            return false;
        brief_line(plain, line, check);
    }
    return session->run.now.phase != RUN_OVER;
}

/* Waits for the next line, and says the calls of the plan meanwhile where nobody marks.
 */
static void wait_for_line(struct plain *plain)
{
    const struct run *run = &plain->session->run;
    struct pollfd input = {STDIN_FILENO, POLLIN, 0};
    bool called = true;
    while (called) {
        tell_called(plain->session, &plain->called);
        int64_t until_ms = run_until_next_call_ms(run, session_now_ms(plain->session));
        int most_ms = until_ms > INT_MAX ? INT_MAX : (int)until_ms;
        called = plain->script ? script_wait(plain->script, most_ms)
                               : most_ms > 0 && poll(&input, 1, most_ms) == 0;
    }
}

static bool live(struct plain *plain)
{
    const struct session *session = plain->session;
    char line[LINE_MAX_BYTES];
    while (session->run.now.phase != RUN_OVER) {
        wait_for_line(plain);
        if (!read_line(plain, line, sizeof line))
            return false;
        if (*line)
            do_line(plain, line);
        else
            do_due(plain);
    }
    return true;
}

int plain_run(struct session *session, struct script *script, enum units units,
              bool unproved)
{
    struct plain plain = {
        .session = session, .script = script, .units = units, .called = {.step = -1}};
    struct text against = {0};
    plain.allowed = unproved || !session_against(session, &against);
    text_free(&against);
    session->run.guard_ms = 0;       /* lines do not bounce as keys do */
    setvbuf(stdin, NULL, _IONBF, 0); /* what is read ahead cannot be polled for */
    if ((!brief(&plain) || !live(&plain)) && session->run.now.phase != RUN_OVER)
        do_event(&plain, RUN_STOPPED, 0, 0, "");
    struct debrief debrief;
    debrief_make(&session->run, session_now_ms(session), &debrief);
    struct text out = {0};
    if (session->run.now.go_ms >= 0)
        sheet_debrief(&session->run, session->crew, &debrief, &out);
    tell_text(&out);
    rescue_offer(session);
    session_close(session);
    return debrief_clean(&debrief) ? STATUS_FINE : STATUS_FOUND;
}
