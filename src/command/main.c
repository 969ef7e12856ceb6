#include "command/commands.h"

#include <locale.h>
#include <stdio.h>
#include <string.h>

static const struct command *const commands[] = {
    &command_list, &command_see,  &command_vet, &command_bill,
    &command_call, &command_wind, &command_run, &command_runs};

enum { COMMAND_COUNT = sizeof commands / sizeof commands[0] };

static int print_version(void)
{
    puts("foreguy " FOREGUY_VERSION "\n"
         "MIT License. There is no warranty. Loads, times and cautions are aids to\n"
         "planning; the skipper decides.");
    return STATUS_FINE;
}

static int print_help(void)
{
    puts("Usage: foreguy [COMMAND] [OPTION]... [ARGUMENT]...\n"
         "Pick, brief, walk, drill and debrief spinnaker manoeuvres with the hands "
         "aboard.\n"
         "Without a command the screens open at the muster.\n");
    for (int i = 0; i < COMMAND_COUNT; i++)
        printf("  %-6s %s\n", commands[i]->name, commands[i]->summary);
    puts("\n  --help, --version\n\n"
         "'foreguy COMMAND --help' tells its options; the manual is foreguy(1).\n"
         "Exit status: 0 done, 1 something found (run stopped, breach, no bill),\n"
         "2 could not (usage, bad file, terminal, system), 128+n by signal n.\n"
         "Example: foreguy run dip-pole-jibe --plain");
    return STATUS_FINE;
}

int command_misused(const struct command *command, const char *what)
{
    fprintf(stderr, "foreguy %s: %s\nTry 'foreguy %s --help'.\n", command->name, what,
            command->name);
    return STATUS_COULD_NOT;
}

int command_help(const struct command *command)
{
    printf("Usage: foreguy %s %s\n%s.\n\n", command->name, command->usage,
           command->summary);
    flags_print(command->flags);
    return STATUS_FINE;
}

/* The status, unless standard output did not take all: what is not written was not done.
 * A command that has told of it already has that status. */
static int written(int status)
{
    if (fflush(stdout) == 0 && !ferror(stdout))
        return status;
    if (status != STATUS_COULD_NOT)
        fputs("foreguy: the output could not be written in full\n", stderr);
    return STATUS_COULD_NOT;
}

static int run_command(const char *name, int argc, char **argv)
{
    for (int i = 0; i < COMMAND_COUNT; i++) {
        if (strcmp(commands[i]->name, name) != 0)
            continue;
        struct context context;
        context_start(&context);
        int status = commands[i]->run(&context, argc, argv);
        context_end(&context);
        return status;
    }
    fprintf(stderr, "foreguy: there is no command '%s'\nTry 'foreguy --help'.\n", name);
    return STATUS_COULD_NOT;
}

int main(int argc, char **argv)
{
    setlocale(LC_CTYPE, "");
    if (argc > 1 && strcmp(argv[1], "--version") == 0)
        return written(print_version());
    if (argc > 1 && strcmp(argv[1], "--help") == 0)
        return written(print_help());
    if (argc > 1 && argv[1][0] != '-')
        return written(run_command(argv[1], argc - 1, argv + 1));
    return written(run_command("run", argc, argv));
}
