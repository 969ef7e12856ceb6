/* The people of a crew file.  Read-only once loaded; lives in the arena of its file. */
#ifndef MODEL_CREW_H
#define MODEL_CREW_H

#include "base/source.h"
#include "model/limits.h"

#include <stdbool.h>
#include <stdint.h>

/* How well a hand knows a role; without an entry the hand is not asked to do it. */
enum grade { GRADE_NONE, GRADE_NEW, GRADE_ABLE, GRADE_SURE };

struct knows {
    const char *role; /* by name: a crew file serves every rig */
    enum grade grade;
    struct span where;
};

struct hand {
    const char *name;
    const struct knows *knows;
    uint8_t knows_count;
    bool aboard;        /* today */
    double pace_m_s;    /* on deck; 1.0 where not said */
    double holds_n;     /* what the hand can hold on a bare line; 0: not said */
    const char *limits; /* in words, "" where none */
    struct span where;
};

struct crew {
    const char *name;
    const struct source *source;
    const struct hand *hands;
    uint8_t hand_count;
};

/* What HAND knows of the role of that name. */
enum grade hand_grade(const struct hand *hand, const char *role);
const char *grade_name(enum grade grade);

#endif
