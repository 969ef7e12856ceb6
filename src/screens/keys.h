/* Keys and their names: the names are those of `--keys` scripts and of the hints on
 * the screens.  A key is a printable code point, or one of those below.  Pure. */
#ifndef SCREENS_KEYS_H
#define SCREENS_KEYS_H

#include <stdint.h>

/* Named PRESS_ because KEY_ belongs to the terminal library. */
enum press {
    PRESS_NONE = 0,
    PRESS_CTRL_A = 1, /* to PRESS_CTRL_Z; tab and enter have their own below */
    PRESS_CTRL_C = 3,
    PRESS_CTRL_L = 12,
    PRESS_CTRL_Z = 26,
    PRESS_SPACE = ' ',
    PRESS_UP = 0x110000, /* behind the last code point */
    PRESS_DOWN,
    PRESS_LEFT,
    PRESS_RIGHT,
    PRESS_ENTER,
    PRESS_BACKSPACE,
    PRESS_ESCAPE,
    PRESS_TAB,
    PRESS_BACK_TAB,
    PRESS_PAGE_UP,
    PRESS_PAGE_DOWN,
    PRESS_HOME,
    PRESS_END,
    PRESS_DELETE,
    PRESS_RESIZE, /* the window has another size */
    PRESS_BEYOND
};

enum { KEYS_NAME_SIZE = 16 };

/* The key called NAME: "space", "down", "back-tab", "ctrl-l", or one character itself;
 * PRESS_NONE if there is none. */
uint32_t keys_find(const char *name);

/* Writes the name of KEY, as keys_find reads it, into NAME and returns it. */
const char *keys_name(uint32_t key, char name[KEYS_NAME_SIZE]);

/* The key of an escape sequence `ESC [ PARAMETER ; SHIFTS FINAL`, for terminals that send
 * what their description does not promise (0 where a number is missing; SHIFTS says which
 * shift keys were down).  PRESS_NONE for all others, and with Alt. */
uint32_t keys_from_sequence(int parameter, int shifts, char final);

/* The key that the terminal library calls NAME ("KEY_UP", "kUP5"; NULL allowed).
 * PRESS_NONE for all others, and with Alt ("kUP3"). */
uint32_t keys_from_terminal(const char *name);

#endif
