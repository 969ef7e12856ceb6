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
    const char *help;  /* NULL: the entry before speaks for this one too */
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
    /* what the footer says of a key as things stand; NULL from it: nothing.  NULL: its
     * label always */
    const char *(*hint)(const struct app *app, const struct key_entry *entry);
};

/* The keys of a screen that is one long list. */
#define SCROLL_KEYS                                                                      \
    {{PRESS_UP}, "Up Down", NULL, "one line up or down", app_line_up},                   \
        {{PRESS_DOWN}, NULL, NULL, NULL, app_line_down},                                 \
        {{PRESS_PAGE_UP}, "PgUp PgDn", NULL, "one page up or down", app_page_up},        \
    {                                                                                    \
        {PRESS_PAGE_DOWN}, NULL, NULL, NULL, app_page_down                               \
    }

/* Declared here, defined at the foot of their files. */
extern const struct screen muster_screen, bill_screen, brief_screen, run_screen,
    debrief_screen, recover_screen, help_screen;

#endif
