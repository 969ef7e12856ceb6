/* The one door to the real terminal: shows canvases, waits for keys, ticks and signals.
 * Order: terminal_open, then terminal_wait and terminal_show in turn, terminal_close;
 * there is one terminal, so no handle.  Whatever ends the program (exit, a signal, an
 * assertion) leaves the terminal as it was found. */
#ifndef SCREENS_TERMINAL_H
#define SCREENS_TERMINAL_H

#include <stdbool.h>
#include <stdint.h>

struct canvas;
struct clock;

enum { TERMINAL_REASON_SIZE = 128, TERMINAL_LIVE_MS = 100, TERMINAL_CALM_MS = 1000 };

struct terminal_options {
    bool ascii;      /* ASCII even where the locale has UTF-8 */
    bool colourless; /* as when NO_COLOR is set and not empty */
};

enum terminal_happening {
    TERMINAL_KEY,
    TERMINAL_TICK,
    TERMINAL_RESIZED,
    TERMINAL_INTERRUPTED, /* Ctrl-C: ask, do not just end */
    TERMINAL_TERMINATED,  /* save, close and end with 128 + signal */
    TERMINAL_CONTINUED    /* back after Ctrl-Z; the size may have changed */
};

struct terminal_event {
    enum terminal_happening happening;
    uint32_t key;  /* of TERMINAL_KEY, see keys.h */
    bool pasted;   /* the key is text from a paste, never a command */
    int signal;    /* of TERMINAL_TERMINATED: SIGTERM or SIGHUP */
    int64_t at_ms; /* when it was taken from the terminal, by the clock given */
};

/* Takes over the terminal on standard input and output.  CLOCK must live until
 * terminal_close.  Where there is no usable terminal (none at all, TERM unknown or
 * dumb) returns false with the reason and changes nothing. */
bool terminal_open(const struct terminal_options *options, const struct clock *clock,
                   char reason[TERMINAL_REASON_SIZE]);

/* Something is typed that terminal_wait has not given yet. */
bool terminal_has_key(void);

/* Gives the terminal back; may be called again or without terminal_open. */
void terminal_close(void);

/* Whether canvases must be drawn in ASCII: by option or by locale. */
bool terminal_is_ascii(void);

/* The size now; at least 1 by 1. */
void terminal_size(int *rows, int *columns);

/* How often TERMINAL_TICK comes, in ms; TERMINAL_CALM_MS at first. */
void terminal_set_tick(int period_ms);

/* Shows CANVAS; only what has changed is sent.  What the canvas does not cover is
 * blank. */
void terminal_show(const struct canvas *canvas);

/* Has the next terminal_show send everything, after other output spoiled the screen. */
void terminal_redraw(void);

/* Sounds the bell. */
void terminal_bell(void);

/* Waits for the next event.  Signals come before ticks and ticks before keys, so that
 * neither a held-down key nor a paste stops the clock. */
struct terminal_event terminal_wait(void);

#endif
