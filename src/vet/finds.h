/* What an engine has found so far: of each finding the nearest. */
#ifndef VET_FINDS_H
#define VET_FINDS_H

#include "vet/vet.h"

struct find {
    enum vet_verdict kind;
    struct finding finding; /* of VET_BROKEN */
    int length;             /* events until then */
    struct rig_state begin;
    struct vet_event way[VET_WAY_MAX];
    int way_count;
};

enum { FINDS_MAX = 64 };

struct finds {
    int count;
    struct find *at[FINDS_MAX];
};

/* The find of that kind, to be filled in, where LENGTH is less than it was or it is new;
 * NULL where it is not, or there is no room. */
struct find *finds_better(struct finds *finds, enum vet_verdict kind,
                          const struct finding *finding, int length, struct arena *arena);

/* Writes the nearest ones to REPORT, and its verdict. */
void finds_report(const struct finds *finds, struct vet_report *report);

/* The verdict of what was found: the worst; safe where nothing was. */
enum vet_verdict vet_verdict_of(const struct vet_report *report);

#endif
