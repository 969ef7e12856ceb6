/* What vet notes of procedures and rigs beside its verdict; for some of it the other
 * procedures of the rig are loaded, with every option once on and once off. */
#ifndef COMMAND_NOTES_H
#define COMMAND_NOTES_H

#include "command/context.h"
#include "vet/lints.h"

/* Starts as {.context = ...}; lives as long as the context. */
struct notes {
    struct context *context;
    const struct procedure **all[2]; /* by board; NULL: not loaded yet */
    int count[2];
};

/* Notes of the procedure of RIG, whose vet gave REPORT, to OUT. */
void notes_of_procedure(struct notes *notes, const struct rig *rig,
                        const struct vet_report *report, const struct vet_limits *limits,
                        struct diags *out);

/* Notes of every rig there is a procedure for, to OUT. */
void notes_of_rigs(struct notes *notes, struct diags *out);

#endif
