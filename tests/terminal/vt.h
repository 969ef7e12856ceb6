/* A real program in a pseudo-terminal, with a terminal emulator that reads what it shows.
 * Nothing sleeps: the program reports each frame (FOREGUY_TEST_SYNC) in the stream
 * itself, and every wait goes on from one whole frame to the next until what was asked
 * for is there, at most VT_PATIENCE_MS.  Rows and columns count from 0.  Order: vt_spawn,
 * vt_wait_frame, keys and looks at the screen, vt_wait_end, vt_close. */
#ifndef TERMINAL_VT_H
#define TERMINAL_VT_H

#include <stdbool.h>
#include <stdint.h>
#include <stddef.h>

struct vt;
struct termios;

enum { VT_PATIENCE_MS = 20000 };

/* Starts ARGUMENTS (NULL at its end) in ROWS by COLUMNS.  Its environment is only
 * TERM=xterm-256color, LC_ALL=C.UTF-8, TZ=UTC, HOME=/nonexistent, PATH, what the
 * sanitizers read, and ENVIRONMENT: "NAME=value" entries (NULL at its end, or NULL),
 * which win; "NAME" alone takes one away. */
struct vt *vt_spawn(const char *const arguments[], const char *const environment[],
                    int rows, int columns);

/* Kills the program if it still runs and frees everything. */
void vt_close(struct vt *vt);

/* Waits for the program to end; its status as from waitpid, or -1 when it would not. */
int vt_wait_end(struct vt *vt);

/* Waits for the next frame. */
bool vt_wait_frame(struct vt *vt);

/* Waits for a frame, the present one too, that holds TEXT on one row. */
bool vt_wait_text(struct vt *vt, const char *text);

/* The same for a program that reports no frames, a shell for instance. */
bool vt_wait_output(struct vt *vt, const char *text);

/* Waits for a frame drawn when the program's clock stood at CLOCK_MS or later. */
bool vt_wait_clock(struct vt *vt, int64_t clock_ms);

/* Presses the key of that name (keys.h) and waits for the frame behind it. */
bool vt_press(struct vt *vt, const char *key);

/* Presses a key and does not wait: for keys that end the program. */
void vt_send_key(struct vt *vt, const char *key);

/* Presses a key for each character of TEXT and waits for the frame behind them. */
bool vt_type(struct vt *vt, const char *text);

/* Sends bytes as they are and waits for nothing.  EXPECT_KEYS is how many keys the
 * program will make of them, so that later waits count right. */
void vt_send(struct vt *vt, const char *bytes, size_t length, int expect_keys);

/* Changes the size of the window; vt_resize waits for a frame of that size. */
void vt_set_size(struct vt *vt, int rows, int columns);
bool vt_resize(struct vt *vt, int rows, int columns);

/* Pastes TEXT as a terminal does: marked as a paste only if the program asked for it. */
void vt_paste(struct vt *vt, const char *text, int expect_keys);

/* Scribbles over the screen, as other programs' output does, unknown to the program. */
void vt_spoil(struct vt *vt);

/* Closes the terminal's window; afterwards nothing but vt_close may be called. */
void vt_hang_up(struct vt *vt);

/* Sends a signal to the program. */
void vt_signal(struct vt *vt, int signal);

/* The text of a row without the blanks at its end; valid until the next call. */
const char *vt_row(struct vt *vt, int row);

/* All rows, each with a newline; valid until the next call. */
const char *vt_text(struct vt *vt);

/* Whether TEXT stands on some row, and where its first character is (ROW and COLUMN
 * may be NULL). */
bool vt_find(struct vt *vt, const char *text, int *row, int *column);

/* One cell: its character (0 for the second half of a wide one) and how it looks. */
struct vt_cell {
    uint32_t glyph;
    int front, back; /* colour numbers, -1 for the terminal's own */
    bool bold, underline, reverse;
};
struct vt_cell vt_cell(struct vt *vt, int row, int column);

/* What the terminal was told besides text. */
struct vt_state {
    bool alternate, cursor_shown;
    int cursor_row, cursor_column;
    int bells;
    int strays;     /* sequences the emulator does not know, but for a few */
    char stray[64]; /* the last of them */
    int64_t frames, keys, clock_ms;
};
const struct vt_state *vt_state(struct vt *vt);

/* The modes of the terminal's line (echo and so on), and changing them unasked. */
void vt_modes(struct vt *vt, struct termios *modes);
void vt_set_modes(struct vt *vt, const struct termios *modes);

/* Whether the program has asked for pastes to be marked. */
bool vt_marks_pastes(struct vt *vt);

#endif
