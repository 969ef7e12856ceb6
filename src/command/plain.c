#include "command/plain.h"

#include "base/text.h"
#include "cards/sheets.h"
#include "cards/words.h"
#include "command/context.h"
#include "command/rescue.h"

#include <assert.h>
#include <string.h>

enum { LINE_MAX_BYTES = 400 };

struct plain {
    struct session *session;
    struct script *script;
    bool unproved; /* proved, or said on purpose */
    bool ended;    /* nothing more to read, or stopped */
    int announced; /* the step whose call was said last; -1: none */
};

static void say(struct text *text)
{
    if (text->at)
        fputs(text->at, stdout);
    fflush(stdout);
    text_free(text);
}

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

static void add_stamp(const struct session *session, struct text *out)
{
    if (session->run.mode == RUN_WALK || session->run.now.go_ms < 0)
        return;
    text_add_seconds(out, run_clock_ms(&session->run, session_now_ms(session)));
    text_add(out, " s  ");
}

static void add_overboard(struct text *out)
{
    for (int i = 0; words_overboard(i, false); i++)
        text_printf(out, "     %d %s\n", i + 1, words_overboard(i, false));
    text_add(out, "     The skipper and your own drill come first.\n");
}

/* What follows the mark is told step by step; what the mark was, first. */
static void tell_out(const struct session *session)
{
    const struct procedure *procedure = session->procedure;
    struct text out = {0};
    for (int i = 0; i < session->out.count; i++) {
        const struct run_event *event = &session->out.at[i];
        if (event->kind == RUN_MADE || event->kind == RUN_BEGUN ||
            event->kind == RUN_SKIPPED) {
            add_stamp(session, &out);
            text_printf(&out, "%s: ", run_kind_name(event->kind));
            words_step(procedure, event->step, &out);
            text_add(&out, " (");
            words_doers(&session->rig, &session->bill, session->crew, event->step, &out);
            text_add(&out, ")\n");
        } else if (event->kind == RUN_FOUND) {
            struct finding finding = {.kind = (enum finding_kind)event->value,
                                      .index = event->step};
            for (int f = 0; f < session->run.now.found_count; f++)
                if (session->run.now.found[f].finding.kind == finding.kind &&
                    session->run.now.found[f].finding.index == finding.index)
                    finding = session->run.now.found[f].finding;
            text_add(&out, "BROKEN  ");
            bill_say_finding(&finding, &session->rig, &session->bill, session->crew,
                             &out);
            text_add(&out, "\n");
        } else if (event->kind != RUN_RECKONED) {
            add_stamp(session, &out);
            text_printf(&out, "%s%s%s\n", run_kind_name(event->kind),
                        *event->text ? ": " : "", event->text);
            if (event->kind == RUN_OVERBOARD)
                add_overboard(&out);
        }
    }
    if (session->logbook && session_unrecorded(session))
        text_add(&out, "NOT RECORDED\n");
    else if (session_waiting(session))
        text_printf(&out, "NOT RECORDED YET: %zu events wait\n",
                    session_waiting(session));
    say(&out);
}

static void add_doing(const struct session *session, int s, struct text *out)
{
    const struct step *step = &session->procedure->steps[s];
    words_doers(&session->rig, &session->bill, session->crew, s, out);
    text_printf(out, ": %s", step->doing);
    if (*step->reply)
        text_printf(out, " Reply \"%s\".", step->reply);
    text_add(out, "\n");
    if (run_only_when_seen(&session->run, s)) {
        text_add(out, "     only ");
        words_when_seen(&session->run, s, out);
        text_add(out, "\n");
    }
    if (step->warn.signal)
        text_printf(out, "     %s: %s %s\n", signal_name(step->warn.signal),
                    step->warn.say, step->warn.avoid);
}

/* The step that is due, said once. */
static void tell_due(struct plain *plain)
{
    struct session *session = plain->session;
    struct text out = {0};
    int due = run_due(&session->run);
    if (session->run.now.question >= 0) {
        text_add(&out, "?    ");
        words_question(&session->run, session->crew, &out);
        text_add(&out, " Say too or early.\n");
    }
    if (session->run.now.phase == RUN_LIVE && due >= 0 && due != plain->announced) {
        const struct step *step = &session->procedure->steps[due];
        text_add(&out, "NOW  ");
        if (*step->call.say)
            text_printf(&out, "%s says \"%s\". ",
                        session->procedure->plan->roles[step->call.by].words,
                        step->call.say);
        add_doing(session, due, &out);
    }
    int next = due < 0 ? run_next_due(&session->run) : -1;
    if (session->run.now.phase == RUN_LIVE && next >= 0) {
        text_add(&out, "WAIT ");
        words_step(session->procedure, next, &out);
        text_add(&out, ": ");
        words_not_yet(&session->run, session->crew, next, &out);
        text_add(&out, "\n");
    }
    plain->announced = due;
    say(&out);
}

static void tell_help(void)
{
    fputs("empty line: the step that is due is made\n"
          "made STEP, begun STEP, skip STEP, catch-up STEP\n"
          "too, early: answers when a mark came before its time\n"
          "undo, hold, on, all-made, overboard, note TEXT, where, stop\n"
          "before the go: empty line or yes, no, go, go anyway\n",
          stdout);
    fflush(stdout);
}

/* Where everybody is: the steps running, what waits and why, the lines held. */
static void tell_where(const struct session *session)
{
    struct text out = {0};
    for (int lane = 0; lane < session->bill.lane_count; lane++) {
        int s = run_lane_step(&session->run, lane);
        text_printf(&out, "     %d %s: ", lane + 1,
                    session->crew->hands[session->bill.hand[lane]].name);
        if (s < 0) {
            text_add(&out, "card done");
        } else {
            words_step(session->procedure, s, &out);
            bool running = rig_running(&session->run.now.rig) >> s & 1;
            text_add(&out, running ? ", now" : ", not yet: ");
            if (!running)
                words_not_yet(&session->run, session->crew, s, &out);
        }
        struct text lines = {0};
        words_holds(&session->run, lane, &lines);
        if (lines.at)
            text_printf(&out, "; holds %s", lines.at);
        text_free(&lines);
        text_add(&out, "\n");
    }
    say(&out);
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

static const struct verb verbs[] = {{"made", RUN_MADE, TAKES_STEP},
                                    {"begun", RUN_BEGUN, TAKES_STEP},
                                    {"skip", RUN_SKIPPED, TAKES_STEP},
                                    {"catch-up", RUN_CAUGHT_UP, TAKES_STEP},
                                    {"too", RUN_TOO, TAKES_QUESTION},
                                    {"early", RUN_EARLY, TAKES_QUESTION},
                                    {"undo", RUN_UNDONE, TAKES_NOTHING},
                                    {"hold", RUN_HELD, TAKES_NOTHING},
                                    {"on", RUN_WENT_ON, TAKES_NOTHING},
                                    {"all-made", RUN_ALL_MADE, TAKES_NOTHING},
                                    {"overboard", RUN_OVERBOARD, TAKES_NOTHING},
                                    {"note", RUN_NOTED, TAKES_TEXT},
                                    {"stop", RUN_STOPPED, TAKES_NOTHING}};

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

static void do_due(struct plain *plain)
{
    int due = run_due(&plain->session->run);
    if (due < 0)
        due = run_next_due(&plain->session->run);
    if (plain->session->run.now.phase == RUN_ON_HOLD)
        fputs("on hold; say on to go on\n", stdout);
    else if (due >= 0)
        do_event(plain, RUN_MADE, due, 0, "");
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

/* The reasons of the rules with this signal word, each once. */
static void tell_rules(const struct procedure *procedure, enum signal signal,
                       struct text *out)
{
    for (int i = 0; i < procedure->rules.count; i++) {
        const struct rule *rule = &procedure->rules.at[i];
        bool said = rule->signal != signal;
        for (int j = 0; j < i && !said; j++)
            said = strcmp(procedure->rules.at[j].because, rule->because) == 0;
        if (!said)
            text_printf(out, "%s: %s\n", signal_name(signal), rule->because);
    }
}

static void tell_brief(const struct session *session)
{
    const struct procedure *procedure = session->procedure;
    struct text out = {0};
    text_printf(&out, "%s on %s, %s, %d hands.\n%s\n", procedure->title,
                board_name(procedure->board), run_mode_name(session->run.mode),
                session->bill.lane_count, procedure->about);
    sheet_bill(procedure, session->crew, &session->bill, &out);
    for (int signal = SIGNAL_DANGER; signal >= SIGNAL_CAUTION; signal--)
        tell_rules(procedure, (enum signal)signal, &out);
    sheet_cautions(&out);
    tell_proof(session, &out);
    if (!session->logbook)
        text_add(&out, "NOT RECORDED: this run leaves nothing in the logbook.\n");
    say(&out);
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
    say(&out);
}

static void ask_go(const struct plain *plain)
{
    int open = run_open_checks(&plain->session->run);
    struct text out = {0};
    if (open)
        text_printf(&out, "%d checks are not answered yes: no go. ", open);
    if (!plain->unproved)
        text_printf(&out, "%s. ", plain->session->record.proof);
    text_add(&out, open || !plain->unproved
                       ? "Say go anyway to go all the same, or stop.\n"
                       : "All ready. Empty line: go.\n");
    say(&out);
}

static void brief_line(struct plain *plain, const char *line, int check)
{
    bool anyway = strcmp(line, "go anyway") == 0;
    bool ready = !run_open_checks(&plain->session->run) && plain->unproved;
    bool go = anyway || strcmp(line, "go") == 0 || (!*line && check < 0);
    if (go && (ready || anyway))
        do_event(plain, RUN_GO, 0, run_open_checks(&plain->session->run),
                 session_proved(plain->session) ? "" : "not proved");
    else if (check >= 0 && (!*line || strcmp(line, "yes") == 0))
        do_event(plain, RUN_CHECKED, check, 1, "");
    else if (check >= 0 && strcmp(line, "no") == 0)
        do_event(plain, RUN_CHECKED, check, 0, "");
    else if (!go)
        do_line(plain, line);
}

/* The questions, then the go; false where it never comes to one. */
static bool brief(struct plain *plain)
{
    const struct session *session = plain->session;
    char line[LINE_MAX_BYTES];
    if (session->run.now.phase == RUN_BRIEFING)
        tell_brief(session);
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

static bool live(struct plain *plain)
{
    const struct session *session = plain->session;
    char line[LINE_MAX_BYTES];
    while (session->run.now.phase != RUN_OVER) {
        tell_due(plain);
        if (!read_line(plain, line, sizeof line))
            return false;
        if (*line)
            do_line(plain, line);
        else
            do_due(plain);
    }
    return true;
}

int plain_run(struct session *session, struct script *script, bool unproved)
{
    struct plain plain = {.session = session, .script = script, .announced = -1};
    plain.unproved = unproved || session_proved(session);
    session->run.guard_ms = 0; /* lines do not bounce as keys do */
    if ((!brief(&plain) || !live(&plain)) && session->run.now.phase != RUN_OVER)
        do_event(&plain, RUN_STOPPED, 0, 0, "");
    struct debrief debrief;
    debrief_make(&session->run, session_now_ms(session), &debrief);
    struct text out = {0};
    if (session->run.now.go_ms >= 0)
        sheet_debrief(&session->run, session->crew, &debrief, &out);
    say(&out);
    rescue_offer(session);
    session_close(session);
    return debrief_clean(&debrief) ? STATUS_FINE : STATUS_FOUND;
}
