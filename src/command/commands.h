/* The table of commands; one file a command, each ending in its constant entry. */
#ifndef COMMAND_COMMANDS_H
#define COMMAND_COMMANDS_H

#include "command/context.h"
#include "command/flags.h"

struct command {
    const char *name;
    const char *usage; /* behind "foreguy NAME" */
    const char *summary;
    const struct flag *flags;
    /* argv[0] is the command's name; returns the exit status */
    int (*run)(struct context *context, int argc, char **argv);
};

extern const struct command command_list, command_see, command_vet, command_bill,
    command_call, command_run, command_runs, command_wind;

/* A usage error: one line and where help is; returns STATUS_COULD_NOT. */
int command_misused(const struct command *command, const char *what);

/* Prints the help of a command. */
int command_help(const struct command *command);

#endif
