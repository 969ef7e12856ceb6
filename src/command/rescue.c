#include "command/rescue.h"

#include <stdio.h>
#include <string.h>

enum { PATH_ROOM = 1024 };

static bool needs_rescue(struct session *session)
{
    if (!session->logbook || !session->run.event_count)
        return false;
    if (session->trouble.at)
        return true;
    return session->record.id && logbook_flush(session->logbook) > 0;
}

/* The crew's events with what followed from each, as the logbook would hold them. */
static struct run_event *all_events(const struct session *session, struct arena *arena,
                                    size_t *count)
{
    const struct run *run = &session->run;
    struct run *again = arena_alloc(arena, sizeof *again);
    struct run_out *out = arena_alloc(arena, sizeof *out);
    size_t room = (size_t)run->event_count * 4 + RUN_OUT_MAX;
    struct run_event *events = arena_alloc(arena, room * sizeof *events);
    run_start(again, &session->rig, &session->bill, run->mode);
    again->guard_ms = 0; /* what was ignored is not among them */
    *count = 0;
    for (int i = 0; i < run->event_count; i++) {
        run_apply(again, &run->events[i], out);
        for (int j = 0; j < out->count && *count < room; j++)
            events[(*count)++] = out->at[j];
    }
    return events;
}

static void save(struct session *session, const char *path)
{
    struct arena *arena = arena_new();
    struct text why = {0};
    size_t count;
    struct run_event *events = all_events(session, arena, &count);
    if (logbook_save_elsewhere(session->logbook, &session->record, events, count, path,
                               &why))
        printf("Written to %s; 'foreguy runs --logbook %s' shows it.\n", path, path);
    else
        fprintf(stderr, "foreguy: not written to %s: %s\n", path,
                why.at ? why.at : "no reason known");
    text_free(&why);
    arena_free(arena);
}

void rescue_offer(struct session *session)
{
    if (!needs_rescue(session))
        return;
    char suggestion[64], line[PATH_ROOM];
    snprintf(suggestion, sizeof suggestion, "foreguy-run-%lld.db",
             (long long)session->record.wall_ms);
    printf("The logbook did not take this run%s%s.\nWrite it to which file? [%s] ",
           session->trouble.at ? ": " : "",
           session->trouble.at ? session->trouble.at : "", suggestion);
    fflush(stdout);
    if (!fgets(line, sizeof line, stdin))
        line[0] = '\0';
    line[strcspn(line, "\r\n")] = '\0';
    save(session, *line ? line : suggestion);
}
