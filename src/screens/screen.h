/* What a screen is: a constant table of functions at the foot of its own file, and a
 * table of keys from which presses, the footer and the help are made. */
#ifndef SCREENS_SCREEN_H
#define SCREENS_SCREEN_H

#include "screens/canvas.h"
#include "screens/keys.h"

struct app;

/* One action and the keys that do it. */
struct key_entry {
    uint32_t keys[4];  /* PRESS_NONE fills the rest */
    const char *shown; /* "Space" */
    const char *label; /* in the footer; NULL: only in the help */
    const char *help;
    void (*act)(struct app *app);
};

struct screen {
    const char *name;             /* "Muster" */
    const struct key_entry *keys; /* ends with act NULL */
    /* draws everything between the title and the footer */
    void (*draw)(struct app *app, struct canvas *canvas, struct area area);
    /* what the title says at its right end; appended to out */
    void (*tell)(const struct app *app, struct text *out);
    /* digits, where the screen takes them; NULL: it does not */
    void (*digit)(struct app *app, int digit);
};

/* Declared here, defined at the foot of their files. */
extern const struct screen muster_screen, brief_screen, run_screen, debrief_screen,
    recover_screen, help_screen;

#endif
