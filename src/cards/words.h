/* What people read and hear, in the crew's words: who does a step, what it waits for,
 * what must not be done yet.  Plain mode, screens, cards and JSON all take it from here.
 * Text is appended to `out`; nothing is owned. */
#ifndef CARDS_WORDS_H
#define CARDS_WORDS_H

#include "base/text.h"
#include "debrief/debrief.h"
#include "forces/weather.h"
#include "model/crew.h"
#include "run/run.h"

/* "Mast" or "Mast, Pit". */
void words_roles(const struct rig_plan *plan, role_set roles, struct text *out);

/* The doers of a step by name: "Fenna". */
void words_doers(const struct rig *rig, const struct bill *bill, const struct crew *crew,
                 int step, struct text *out);

/* The step's name as people say it: "ease guy". */
void words_step(const struct procedure *procedure, int step, struct text *out);

/* Whose it is as well: 'Guy "ease guy"'. */
void words_whose_step(const struct rig *rig, int step, struct text *out);

/* The reasons for the rules of SIGNAL that the steps can come to break, each once; OUT is
 * RULES_MAX long.  Returns how many. */
int words_reasons(const struct procedure *procedure, enum signal signal,
                  const char **out);

/* What stands big: the call in capitals, or the step's name where nobody calls it. */
void words_big(const struct step *step, struct text *out);

/* "starboard guy slack" or "course turning or dead downwind". */
void words_condition(const struct rig_plan *plan, const struct condition *condition,
                     struct text *out);

/* Why STEP is not to be done now: what it waits for, by whom, else what it would break.
 * Nothing is written when it may start. */
void words_not_yet(const struct run *run, const struct crew *crew, int step,
                   struct text *out);

/* "when you see course dead downwind": the waits of STEP that rest on reckoned starts;
 * where the run follows the plan all of them, and what comes before STEP. */
void words_when_seen(const struct run *run, int step, int64_t now_ms, struct text *out);

/* The lines LANE holds in STATE: "port guy, port sheet". */
void words_holds(const struct rig *rig, const struct rig_state *state, int lane,
                 struct text *out);

/* The open question of an early mark, with both answers. */
void words_question(const struct run *run, const struct crew *crew, struct text *out);

/* What was broken as found I of RUN, with what else tells of the same danger. */
void words_found(const struct run *run, const struct crew *crew, int i, struct text *out);

/* What was not broken after all: "trip-unloaded, the need of trip". */
void words_gone(const struct run *run, const struct crew *crew,
                const struct run_out *gone, struct text *out);

/* How the run ended and in what time, where that is one: "done in 33.1 s, planned 32.5 s,
 * pace 30.0 s"; "done: no time, 4 of 17 steps without one, planned ...".  PACE_MS: -1
 * where there is none. */
void words_outcome(const struct debrief *debrief, enum run_mode mode, int64_t pace_ms,
                   struct text *out);

/* What a step took: "3.2"; "made" where that is no time; "-". */
void words_split(const struct debrief_split *split, enum run_mode mode, struct text *out);

/* "breaches 0, unclear 0, skipped 0, rules broken 0, checks overruled 0". */
void words_counts(const struct debrief *debrief, struct text *out);

/* What step S is done by heart for: 'Helm: "Ease!" Shout it.'; the call where it is one
 * of the step's own hands who makes it. */
void words_memory(const struct procedure *procedure, int s, struct text *out);

/* What to remember when a person is overboard, from item 0 on; NULL behind the last.
 * Short words fit a phone. */
const char *words_overboard(int item, bool short_words);

/* What goes before the text of EVENT in the debrief: "note", "to the mark"; NULL where it
 * has no place there. */
const char *words_note(const struct run_event *event);

/* What limits go by: "true wind 27 kn"; "true wind in the gusts 27 kn". */
void words_limit_wind(const struct weather *weather, struct text *out);

/* What is wrong with a wind that was typed; not for WEATHER_FINE. */
const char *words_weather_wrong(enum weather_wrong wrong);

#endif
