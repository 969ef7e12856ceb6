/* The outside world for the commands: the real clock, files, where things live.  The
 * only folder that reads clocks and files. */
#ifndef COMMAND_CONTEXT_H
#define COMMAND_CONTEXT_H

#include "base/clock.h"
#include "base/diag.h"
#include "load/library.h"

#include <stdio.h>

/* Exit status, as in the manual. */
enum { STATUS_FINE = 0, STATUS_FOUND = 1, STATUS_COULD_NOT = 2 };

struct context {
    struct arena *arena;
    struct diags *diags;
    struct library library;
    struct clock clock;
    char boot_id[40];
};

void context_start(struct context *context);
void context_end(struct context *context);

/* Prints what the diagnostics hold to standard error; true when there is an error. */
bool context_report(struct context *context);

/* Reads PATH into a source; NULL with a diagnostic. */
const struct source *context_read(struct context *context, const char *path);

/* Reads all procedure and rig files: FOREGUY_DATA, else the user's data folder, the data
 * folders of the system and the one compiled in; the first of a name wins. */
void context_fill_library(struct context *context);

/* A file of the data folders, like "demo/crew.yaml"; NULL where there is none. */
const char *context_find_data(struct context *context, const char *name);

/* $XDG_CONFIG_HOME/foreguy/NAME or NULL where it does not exist. */
const char *context_find_config(struct context *context, const char *name);

/* Where the logbook is: $XDG_DATA_HOME/foreguy/logbook.db. */
const char *context_logbook_path(struct context *context);

/* The procedure NAME (of the library) or file (with a slash or ".yaml"); NULL with a
 * diagnostic that names the nearest known one. */
const struct source *context_procedure(struct context *context, const char *name);

/* Standard output is written and fine; false with a message when it is not. */
bool context_print(const struct text *text);

#endif
