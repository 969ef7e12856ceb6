/* What people read and hear, in the crew's words: who does a step, what it waits for,
 * what must not be done yet.  Plain mode, screens, cards and JSON all take it from here.
 * Text is appended to `out`; nothing is owned. */
#ifndef CARDS_WORDS_H
#define CARDS_WORDS_H

#include "base/text.h"
#include "model/crew.h"
#include "run/run.h"

/* "Mast" or "Mast, Pit". */
void words_roles(const struct rig_plan *plan, role_set roles, struct text *out);

/* The doers of a step by name: "Fenna". */
void words_doers(const struct rig *rig, const struct bill *bill, const struct crew *crew,
                 int step, struct text *out);

/* The step's name as people say it: "ease guy". */
void words_step(const struct procedure *procedure, int step, struct text *out);

/* What stands big: the call in capitals, or the step's name where nobody calls it. */
void words_big(const struct step *step, struct text *out);

/* "starboard guy slack" or "course turning or dead downwind". */
void words_condition(const struct rig_plan *plan, const struct condition *condition,
                     struct text *out);

/* Why STEP is not to be done now: what it waits for, by whom, else what it would break.
 * Nothing is written when it may start. */
void words_not_yet(const struct run *run, const struct crew *crew, int step,
                   struct text *out);

/* "when you see course dead downwind": the waits of STEP that rest on reckoned starts. */
void words_when_seen(const struct run *run, int step, struct text *out);

/* The lines LANE holds: "port guy, port sheet". */
void words_holds(const struct run *run, int lane, struct text *out);

/* The open question of an early mark, with both answers. */
void words_question(const struct run *run, const struct crew *crew, struct text *out);

/* What to remember when a person is overboard, from item 0 on; NULL behind the last.
 * Short words fit a phone. */
const char *words_overboard(int item, bool short_words);

#endif
