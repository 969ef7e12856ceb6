#include "command/rescue.h"

#include <stdio.h>
#include <string.h>

enum { PATH_ROOM = 1024 };

static bool needs_rescue(struct session *session)
{
    if (!session->logbook || !session->run.event_count)
        return false;
    session->retry_ms = 0; /* the last chance */
    session_retry(session);
    return session->trouble.at || session_waiting(session) > 0;
}

static void save(struct session *session, const char *path)
{
    struct arena *arena = arena_new();
    struct text why = {0};
    size_t count;
    const struct run_event *events = session_events(session, arena, &count);
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
