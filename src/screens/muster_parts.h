/* The parts of the muster, shared by its files. */
#ifndef SCREENS_MUSTER_PARTS_H
#define SCREENS_MUSTER_PARTS_H

#include "screens/app.h"

int muster_count_aboard(const struct app *app);

/* The roles a hand knows, the surest first. */
void muster_add_knows(const struct hand *hand, struct text *out);

/* The wind is typed: true wind, then boat speed, then true angle; the apparent wind is
 * told as they come, or what is wrong with them. */
void muster_type_wind(struct app *app);
void muster_ask_wind(const struct app *app, struct text *out);
enum weather_wrong muster_take_wind(struct app *app);

/* The apparent wind, and what it means for the sails, where boat speed is said. */
void muster_put_apparent(const struct app *app, struct roll *roll);
void muster_put_sails(const struct app *app, struct roll *roll);

/* What there is to say of the choice: whether these hands can do it, the wind, what it
 * is for, its options, who does what. */
void muster_fill(const struct app *app, struct roll *roll);

#endif
