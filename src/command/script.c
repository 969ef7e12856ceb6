#include "command/script.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* 2026-01-01 00:00 UTC: every script begins then. */
static const int64_t script_wall_ms = 1767225600000;

static int64_t now_ms(void *self)
{
    return ((struct script *)self)->now_ms;
}

static int64_t wall_ms(void *self)
{
    return script_wall_ms + now_ms(self);
}

void script_start(struct script *script, const struct source *source)
{
    *script = (struct script){.source = source, .line = 1};
    script->clock = (struct clock){now_ms, wall_ms, script};
}

/* What stands behind "wait " are milliseconds; otherwise it is a line like others. */
static bool is_wait(const char *line)
{
    size_t digits = strspn(line, "0123456789");
    return digits > 0 && digits < 10 && !line[digits];
}

static void copy_trimmed(const char *at, size_t length, char *out, size_t room)
{
    while (length && isspace((unsigned char)*at)) {
        at++;
        length--;
    }
    while (length && isspace((unsigned char)at[length - 1]))
        length--;
    if (length >= room)
        length = room - 1;
    memcpy(out, at, length);
    out[length] = '\0';
}

/* The line that comes next, trimmed; false at the end. */
static bool look(const struct script *script, char *out, size_t room)
{
    if (script->line > script->source->line_count)
        return false;
    size_t length;
    const char *at = source_line(script->source, script->line, &length);
    copy_trimmed(at, length, out, room);
    return true;
}

bool script_wait(struct script *script, int most_ms)
{
    char line[32];
    while (most_ms < 0 || script->wait_ms < most_ms) {
        if (!look(script, line, sizeof line))
            break;
        if (strncmp(line, "wait ", 5) == 0 && is_wait(line + 5))
            script->wait_ms += strtol(line + 5, NULL, 10);
        else if (*line && *line != '#')
            break;
        script->line++;
    }
    bool more = most_ms >= 0 && script->wait_ms >= most_ms;
    int64_t passed_ms = more ? most_ms : script->wait_ms;
    script->now_ms += passed_ms;
    script->wait_ms -= passed_ms;
    return more;
}

bool script_next(struct script *script, char *out, size_t room)
{
    script_wait(script, -1);
    bool found = look(script, out, room);
    script->line += found;
    return found;
}
