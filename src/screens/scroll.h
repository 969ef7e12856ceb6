/* A list that may be longer than its place on the screen.  It is filled line by line and
 * drawn from the line that is scrolled to; where it does not all fit the last row of the
 * place says so, what lies above and below and the keys that go there. */
#ifndef SCREENS_SCROLL_H
#define SCREENS_SCROLL_H

#include "screens/canvas.h"

struct app;

/* How far a list is scrolled; what the keys asked for counts once it is drawn, as only
 * then its length and its place are known. */
struct scroll {
    int first;             /* the line at the top */
    const char *down, *up; /* the keys as they are named; NULL: "Down", "Up" */
    int by_pages;          /* asked for: pages down, or up where it is less than 0 */
    int by_heads; /* asked for: headings further on, from the end back to the top */
};

enum { ROLL_HEADS_MAX = 12 };

/* The list while it is filled. */
struct roll {
    struct canvas *canvas;
    struct area area; /* of the lines that show */
    bool airy;        /* there is room for empty lines */
    int first, count;
    int heads[ROLL_HEADS_MAX], head_count;
    int keep_from, keep_to; /* lines that must show, as far as they fit; none: equal */
};

/* Draws what FILL puts into the list.  FILL is called twice, to count and to draw. */
void scroll_draw(struct scroll *scroll, struct canvas *canvas, struct area area,
                 void (*fill)(const struct app *app, struct roll *roll),
                 const struct app *app);

/* Takes the next line of the list; its row on the canvas, or -1 where it does not show:
 * drawing there does nothing. */
int roll_line(struct roll *roll);

/* A heading, with an empty line above it where there is room. */
void roll_head(struct roll *roll, const char *text);

/* TEXT wrapped at words, INDENT columns in.  Returns the row of its first line. */
int roll_wrap(struct roll *roll, int indent, enum style style, const char *text);

#endif
