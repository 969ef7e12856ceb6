#include "command/progress.h"

#include <inttypes.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

enum { LISTEN_EVERY_MS = 50, SHOW_AFTER_MS = 1000, SHOW_EVERY_MS = 250 };

/* Blocked, a signal waits until it is asked for: no handler, nothing that is shared with
 * one. */
static void listen(struct progress *progress)
{
    struct sigaction now;
    sigset_t interrupt;
    sigemptyset(&interrupt);
    sigaddset(&interrupt, SIGINT);
    progress->listens = sigaction(SIGINT, NULL, &now) == 0 && now.sa_handler != SIG_IGN &&
                        sigprocmask(SIG_BLOCK, &interrupt, &progress->before) == 0;
}

static void stop_listening(struct progress *progress)
{
    if (progress->listens)
        sigprocmask(SIG_SETMASK, &progress->before, NULL);
    progress->listens = false;
}

static bool interrupted(const struct progress *progress)
{
    const struct timespec none = {0, 0};
    sigset_t interrupt;
    sigemptyset(&interrupt);
    sigaddset(&interrupt, SIGINT);
    return progress->listens && sigtimedwait(&interrupt, NULL, &none) == SIGINT;
}

static int64_t now_ms(const struct progress *progress)
{
    return progress->clock->now_ms(progress->clock->self);
}

void progress_start(struct progress *progress, const struct clock *clock)
{
    *progress = (struct progress){.clock = clock, .name = "", .doing = ""};
    progress->on_terminal = isatty(STDERR_FILENO);
    listen(progress);
}

void progress_at(struct progress *progress, const char *name, const char *doing,
                 const char *counts, const uint64_t *counted)
{
    progress_clear(progress);
    progress->name = name;
    progress->doing = doing;
    progress->counts = counts;
    progress->counted = counted;
    progress->most = 0;
    progress->since_ms = now_ms(progress);
}

static void show(struct progress *progress, int64_t now)
{
    progress_clear(progress);
    progress->shown =
        fprintf(stderr, "%s: %s%" PRIu64 " %s, %" PRId64 " s (Ctrl-C stops)",
                progress->name, progress->doing, progress->most, progress->counts,
                (now - progress->since_ms) / 1000);
    progress->shown_ms = now;
}

bool progress_stop(void *self)
{
    struct progress *progress = self;
    if (*progress->counted > progress->most)
        progress->most = *progress->counted;
    int64_t now = now_ms(progress);
    if (progress->stopped || now - progress->looked_ms < LISTEN_EVERY_MS)
        return progress->stopped;
    progress->looked_ms = now;
    if (interrupted(progress)) {
        progress->stopped = true;
        stop_listening(progress);
    } else if (progress->on_terminal && now - progress->since_ms >= SHOW_AFTER_MS &&
               now - progress->shown_ms >= SHOW_EVERY_MS) {
        show(progress, now);
    }
    return progress->stopped;
}

void progress_clear(struct progress *progress)
{
    if (progress->shown > 0)
        fprintf(stderr, "\r%*s\r", progress->shown, "");
    progress->shown = 0;
}

void progress_end(struct progress *progress)
{
    progress_clear(progress);
    progress->stopped |= interrupted(progress);
    stop_listening(progress);
}
