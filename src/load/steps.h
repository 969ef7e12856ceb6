/* The steps of a procedure file: as written, every one of them, and then those that the
 * options leave, with what the left-out ones passed on. */
#ifndef LOAD_STEPS_H
#define LOAD_STEPS_H

#include "load/internal.h"

/* Steps as written; sets of steps count them in the order of the file. */
struct written {
    struct step_names names;
    struct step steps[STEPS_MAX];
    step_set kept;         /* not left out by an option */
    int number[STEPS_MAX]; /* of a kept step among the kept; -1 */
    int count;
};

/* Reads the names of the steps of LIST (which may be NULL) and makes them known to LOAD.
 */
void load_read_step_names(struct load *load, const struct node *list,
                          struct written *written);

/* Reads the steps themselves, left out or not, and which are kept. */
void load_read_steps(struct load *load, const struct node *list, struct written *written);

/* Reports steps that wait for each other; false where there are any. */
bool load_check_order(struct load *load, const struct written *written);

/* Reports steps done by heart that come after one that is not. */
void load_check_memory(struct load *load, const struct written *written);

/* Reports waits that nothing can end, and those a role can neither see nor hear. */
void load_check_waits(struct load *load, const struct written *written,
                      const struct procedure *procedure);

/* Puts the kept steps into PROCEDURE; the left-out ones pass their afters on. */
void load_keep_steps(struct load *load, struct written *written,
                     struct procedure *procedure);

/* The rules without those that name a left-out step, and with the kept ones' numbers. */
struct rules load_keep_rules(struct load *load, const struct written *written,
                             struct rules rules);

#endif
