/* Options that several commands share: which board, which options of a procedure, which
 * crew and boat. */
#ifndef COMMAND_CHOOSE_H
#define COMMAND_CHOOSE_H

#include "base/units.h"
#include "command/context.h"
#include "forces/weather.h"

enum { CHOICE_OPTIONS_MAX = OPTIONS_MAX };

struct chosen {
    struct load_choice load;
    const char *options[CHOICE_OPTIONS_MAX];
    const char *crew_path, *boat_path, *hands;
    bool pilot;
    enum units units;
    const char *wind;       /* as said; "": not */
    struct weather weather; /* what it means */
};

/* Nothing chosen but the units, which FOREGUY_UNITS says. */
void choose_start(struct chosen *chosen);

/* "metric" or "us"; NULL, or what is wrong with it. */
const char *choose_units(struct chosen *chosen, const char *word);

/* "port" or "starboard"; false otherwise. */
bool choose_board(struct chosen *chosen, const char *word);

/* "name=yes"; false when there are too many. */
bool choose_option(struct chosen *chosen, const char *word);

/* "12kn" or "14g19 7 150", as weather.h has it; NULL, or what is wrong with it. */
const char *choose_wind(struct chosen *chosen, const char *words);

/* The options as one text: "name=yes name=no". */
const char *choose_options_text(const struct chosen *chosen, struct arena *arena);

/* Loads the crew: the file named, the user's, or the demo's.  With hands named
 * ("Bram,Juno") exactly those are aboard.  NULL with diagnostics or a message. */
const struct crew *choose_crew(struct context *context, const struct chosen *chosen);

/* What a bill is made from. */
struct chosen_files {
    const struct procedure *procedure;
    const struct crew *crew;
    const struct boat *boat;
};

/* Loads the procedure of that name or file with boat and crew; false with messages. */
bool choose_files(struct context *context, struct chosen *chosen, const char *name,
                  struct chosen_files *out);

/* Loads the boat likewise; its text is in its source.  What is loaded from the library
 * afterwards is for this boat in the wind chosen. */
const struct boat *choose_boat(struct context *context, const struct chosen *chosen);

#endif
