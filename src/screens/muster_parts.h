/* The parts of the muster, shared by its files. */
#ifndef SCREENS_MUSTER_PARTS_H
#define SCREENS_MUSTER_PARTS_H

#include "screens/app.h"

int muster_count_aboard(const struct app *app);

/* The roles a hand knows, the surest first. */
void muster_add_knows(const struct hand *hand, struct text *out);

/* What there is to say of the choice: whether these hands can do it, the wind, what it
 * is for, its options, who does what. */
void muster_fill(const struct app *app, struct roll *roll);

#endif
