/* The parts of the brief, shared by its files. */
#ifndef SCREENS_BRIEF_PARTS_H
#define SCREENS_BRIEF_PARTS_H

#include "screens/app.h"

/* The first check that is not answered; -1: all are. */
int brief_open_check(const struct app *app);

/* All that is read before the go: the bill, what must not be missed, the checks, the
 * cards, the cautions. */
void brief_fill(const struct app *app, struct roll *roll);

#endif
