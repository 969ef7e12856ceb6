/* Diagnostics: every message about a user's file, collected first and printed together.
 * The texts stand in one table (messages.h).  The caller makes the object with diags_new
 * in an arena; nothing here prints. */
#ifndef BASE_DIAG_H
#define BASE_DIAG_H

#include "base/arena.h"
#include "base/source.h"

#include <stdbool.h>
#include <stddef.h>

enum level { LEVEL_NOTE, LEVEL_WARNING, LEVEL_ERROR };

enum message {
#define MESSAGE(id, level, text) MESSAGE_##id,
#include "base/messages.h"
#undef MESSAGE
    MESSAGE_COUNT
};

struct diag {
    enum message message;
    struct span where;
    const char *text; /* the message with its words filled in */
};

struct diags;

struct diags *diags_new(struct arena *arena);

/* Records MESSAGE at WHERE; the arguments fill in the text of the table.  The same
 * message at the same place is kept once. */
void diag_add(struct diags *diags, enum message message, struct span where, ...);

/* The number of messages, and of errors among them. */
size_t diags_count(const struct diags *diags);
size_t diags_errors(const struct diags *diags);

/* How often an error was reported, repeats included: grows whenever a file is wrong, even
 * where it was read before. */
size_t diags_reports(const struct diags *diags);

/* Message I (from 0) in the order in which they are printed: by file, line, column. */
const struct diag *diags_at(struct diags *diags, size_t i);

/* Writes all messages: `file:line:col: error: text`, the line, a caret. */
void diags_write(struct diags *diags, struct text *out);

enum level message_level(enum message message);
const char *message_name(enum message message); /* the id, for tests */

#endif
