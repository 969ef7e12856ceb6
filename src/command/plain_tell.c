#include "command/plain_tell.h"

#include "base/text.h"
#include "cards/words.h"

#include <stdio.h>

void tell_text(struct text *text)
{
    if (text->at)
        fputs(text->at, stdout);
    fflush(stdout);
    text_free(text);
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

/* What the event broke, and what an answer or an undo took away again. */
static void add_found(const struct session *session, struct text *out)
{
    for (int i = 0; i < session->run.now.found_count; i++)
        if (session->out.fresh >> i & 1 && run_same_danger(&session->run, i) == i) {
            text_add(out, "BROKEN  ");
            words_found(&session->run, session->crew, i, out);
            text_add(out, "\n");
        }
    if (!session->out.gone_count)
        return;
    text_add(out, "NOT BROKEN AFTER ALL  ");
    words_gone(&session->run, session->crew, &session->out, out);
    text_add(out, "\n");
}

static void add_event(const struct session *session, const struct run_event *event,
                      struct text *out)
{
    if (event->kind == RUN_FOUND || event->kind == RUN_RECKONED)
        return;
    add_stamp(session, out);
    if (event->kind == RUN_MADE || event->kind == RUN_BEGUN ||
        event->kind == RUN_SKIPPED) {
        text_printf(out, "%s: ", run_kind_name(event->kind));
        words_step(session->procedure, event->step, out);
        text_add(out, " (");
        words_doers(&session->rig, &session->bill, session->crew, event->step, out);
        text_add(out, ")\n");
        return;
    }
    text_printf(out, "%s%s%s\n", run_kind_name(event->kind), *event->text ? ": " : "",
                event->text);
    if (event->kind == RUN_OVERBOARD)
        add_overboard(out);
}

void tell_out(const struct session *session)
{
    struct text out = {0};
    for (int i = 0; i < session->out.count; i++) {
        add_event(session, &session->out.at[i], &out);
        if (i == 0) /* before the end that may have followed */
            add_found(session, &out);
    }
    if (session->logbook && session_unrecorded(session))
        text_add(&out, "NOT RECORDED\n");
    else if (session_waiting(session))
        text_printf(&out, "NOT RECORDED YET: %zu events wait\n",
                    session_waiting(session));
    tell_text(&out);
}

static void add_doing(const struct session *session, int s, struct text *out)
{
    const struct step *step = &session->procedure->steps[s];
    int64_t now_ms = session_now_ms(session);
    if (*step->call.say)
        text_printf(out, "%s says \"%s\". ",
                    session->procedure->plan->roles[step->call.by].words, step->call.say);
    words_doers(&session->rig, &session->bill, session->crew, s, out);
    text_printf(out, ": %s", step->doing);
    if (*step->reply)
        text_printf(out, " Reply \"%s\".", step->reply);
    text_add(out, "\n");
    if (run_only_when_seen(&session->run, s, now_ms)) {
        text_add(out, "     only ");
        words_when_seen(&session->run, s, now_ms, out);
        text_add(out, "\n");
    }
    if (step->warn.signal)
        text_printf(out, "     %s: %s %s\n", signal_name(step->warn.signal),
                    step->warn.say, step->warn.avoid);
}

static void add_waiting(const struct session *session, struct text *out)
{
    int next = run_next_due(&session->run);
    if (next < 0)
        return;
    text_add(out, "WAIT ");
    words_step(session->procedure, next, out);
    text_add(out, ": ");
    words_not_yet(&session->run, session->crew, next, out);
    text_add(out, "\n");
}

static void add_call(const struct session *session, const struct called *called,
                     const struct called *before, struct text *out)
{
    if (called->over && !before->over)
        text_add(out, "PLAN over, nothing is marked. Say all-made, or what was made.\n");
    if (called->step < 0 && !called->planned)
        add_waiting(session, out);
    if (called->step < 0 ||
        (called->step == before->step && called->planned == before->planned))
        return;
    text_add(out, called->planned ? "PLAN " : "NOW  ");
    if (called->planned)
        add_stamp(session, out);
    add_doing(session, called->step, out);
}

void tell_called(const struct session *session, struct called *called)
{
    const struct run *run = &session->run;
    int64_t now_ms = session_now_ms(session);
    struct called now = {.step = run_called(run, now_ms),
                         .planned = run_follows_plan(run, now_ms)};
    struct text out = {0};
    now.over = now.planned && now.step < 0;
    if (run->now.question >= 0) {
        text_add(&out, "?    ");
        words_question(run, session->crew, &out);
        text_add(&out, " Say too or early.\n");
    }
    if (run->now.phase == RUN_LIVE)
        add_call(session, &now, called, &out);
    *called = now;
    tell_text(&out);
}

static void add_planned_lane(const struct run *run, int step, int64_t now_ms,
                             struct text *out)
{
    const struct bill_slot *slot = bill_slot_of(run->bill, step);
    int64_t plan_ms = run_plan_ms(run, now_ms);
    text_add(out, slot->start_ms > plan_ms ? ", planned next"
                  : slot->end_ms > plan_ms ? ", planned now"
                                           : ", planned before now");
}

static void add_lane(const struct session *session, int lane, struct text *out)
{
    const struct run *run = &session->run;
    int64_t now_ms = session_now_ms(session);
    int s = run_lane_called(run, lane, now_ms);
    if (s < 0) {
        text_add(out, "card done");
        return;
    }
    words_step(session->procedure, s, out);
    if (run_follows_plan(run, now_ms)) {
        add_planned_lane(run, s, now_ms, out);
    } else if (rig_running(&run->now.rig) >> s & 1) {
        text_add(out, ", now");
    } else {
        text_add(out, ", not yet: ");
        words_not_yet(run, session->crew, s, out);
    }
}

void tell_where(const struct session *session)
{
    const struct run *run = &session->run;
    struct text out = {0};
    bool planned = run_follows_plan(run, session_now_ms(session));
    struct rig_state rig = run->now.rig;
    if (planned)
        run_planned_rig(run, session_now_ms(session), &rig);
    for (int lane = 0; lane < session->bill.lane_count; lane++) {
        struct text lines = {0};
        text_printf(&out, "     %d %s: ", lane + 1,
                    session->crew->hands[session->bill.hand[lane]].name);
        add_lane(session, lane, &out);
        words_holds(&session->rig, &rig, lane, &lines);
        if (lines.at)
            text_printf(&out, "; %s %s", planned ? "would hold" : "holds", lines.at);
        text_free(&lines);
        text_add(&out, "\n");
    }
    for (int i = 0; i < run->now.found_count; i++)
        if (!run->now.found[i].seen && run_same_danger(run, i) == i) {
            text_add(&out, run->now.found[i].broken ? "IS BROKEN  " : "WAS BROKEN  ");
            words_found(run, session->crew, i, &out);
            text_add(&out, "\n");
        }
    tell_text(&out);
}
