#include "vt.h"

#include <assert.h>
#include <errno.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>
#include <vterm.h>

#include "screens/glyphs.h"
#include "screens/keys.h"

enum { INPUT_SIZE = 65536, TEXT_SIZE = 300 * 120 * 24 };

struct vt {
    VTerm *vterm;
    VTermScreen *screen;
    int master;
    pid_t child;
    bool ended; /* nothing more will come */
    int status; /* of waitpid, -1 while it runs */
    int rows, columns;
    bool counting; /* what the emulator would send is counted, not sent */
    size_t counted;
    int64_t pressed; /* keys the program has been sent */
    int frame_rows, frame_columns;
    struct vt_state state;
    size_t input_at, input_length;
    char input[INPUT_SIZE];
    char text[TEXT_SIZE];
};

/* ---- what the emulator reports ---- */

static void note_stray(struct vt *vt, const char *kind, const char *leader, char final)
{
    vt->state.strays++;
    snprintf(vt->state.stray, sizeof vt->state.stray, "%s %s%c", kind,
             leader ? leader : "", final);
}

static int on_osc_text(struct vt *vt, const char *text)
{
    int64_t frames, keys, clock_ms;
    int rows, columns;
    char line[128];
    snprintf(line, sizeof line, "%s", text);
    char *at = line;
    frames = strtoll(at, &at, 10);
    keys = strtoll(at + (*at == ';'), &at, 10);
    clock_ms = strtoll(at + (*at == ';'), &at, 10);
    rows = (int)strtol(at + (*at == ';'), &at, 10);
    columns = (int)strtol(at + (*at == ';'), &at, 10);
    vt->state.frames = frames;
    vt->state.keys = keys;
    vt->state.clock_ms = clock_ms;
    vt->frame_rows = rows;
    vt->frame_columns = columns;
    return 1;
}

#if VTERM_VERSION_MAJOR > 0 || VTERM_VERSION_MINOR >= 2
static int on_osc(int command, VTermStringFragment part, void *user)
{
    char line[128];
    snprintf(line, sizeof line, "%.*s", (int)part.len, part.str);
    if (command == 7777 && part.initial && part.final)
        return on_osc_text(user, line);
    note_stray(user, "osc", NULL, ' ');
    return 0;
}
#else
static int on_osc(const char *command, size_t length, void *user)
{
    static const char marker[] = "7777;";
    char line[128];
    snprintf(line, sizeof line, "%.*s", (int)length, command);
    if (strncmp(line, marker, strlen(marker)) == 0)
        return on_osc_text(user, line + strlen(marker));
    note_stray(user, "osc", NULL, ' ');
    return 0;
}
#endif

/* Sequences real terminals know and the emulator does not: the stack of window titles,
 * and the shape of the Linux console's cursor. */
static int on_csi(const char *leader, const long arguments[], int count,
                  const char *between, char final, void *user)
{
    (void)arguments;
    (void)count;
    (void)between;
    bool private = leader && strcmp(leader, "?") == 0;
    if ((final == 't' && !leader) || (final == 'c' && private))
        return 1;
    note_stray(user, "csi", leader, final);
    return 0;
}

static int on_property(VTermProp property, VTermValue *value, void *user)
{
    struct vt *vt = user;
    if (property == VTERM_PROP_ALTSCREEN)
        vt->state.alternate = value->boolean;
    else if (property == VTERM_PROP_CURSORVISIBLE)
        vt->state.cursor_shown = value->boolean;
    return 1;
}

static int on_cursor(VTermPos at, VTermPos before, int visible, void *user)
{
    (void)before;
    (void)visible;
    struct vt *vt = user;
    vt->state.cursor_row = at.row;
    vt->state.cursor_column = at.col;
    return 1;
}

static int on_bell(void *user)
{
    ((struct vt *)user)->state.bells++;
    return 1;
}

static void write_master(const char *bytes, size_t length, void *user)
{
    struct vt *vt = user;
    if (vt->counting) {
        vt->counted += length;
        return;
    }
    while (length > 0) {
        ssize_t written = write(vt->master, bytes, length);
        if (written < 0 && errno != EINTR)
            return;
        if (written > 0) {
            bytes += written;
            length -= (size_t)written;
        }
    }
}

static void start_emulator(struct vt *vt)
{
    static const VTermScreenCallbacks screen_calls = {
        .movecursor = on_cursor, .settermprop = on_property, .bell = on_bell};
#if VTERM_VERSION_MAJOR > 0 || VTERM_VERSION_MINOR >= 2
    static const VTermStateFallbacks fallbacks = {.csi = on_csi, .osc = on_osc};
#else
    static const VTermParserCallbacks fallbacks = {.csi = on_csi, .osc = on_osc};
#endif
    vt->vterm = vterm_new(vt->rows, vt->columns);
    vterm_set_utf8(vt->vterm, 1);
    vterm_output_set_callback(vt->vterm, write_master, vt);
    vt->screen = vterm_obtain_screen(vt->vterm);
    vterm_screen_set_callbacks(vt->screen, &screen_calls, vt);
    vterm_screen_set_unrecognised_fallbacks(vt->screen, &fallbacks, vt);
    vterm_screen_enable_altscreen(vt->screen, 1);
    vterm_screen_reset(vt->screen, 1);
    vt->state.cursor_shown = true;
}

/* ---- the program ---- */

static void set_environment(const char *const environment[])
{
    static const char *const kept[] = {"PATH", "ASAN_OPTIONS", "UBSAN_OPTIONS",
                                       "LSAN_OPTIONS", "LLVM_PROFILE_FILE"};
    enum { KEPT = sizeof kept / sizeof *kept };
    char *values[KEPT];
    for (int i = 0; i < KEPT; i++) {
        const char *value = getenv(kept[i]);
        values[i] = value ? strdup(value) : NULL;
    }
    clearenv();
    for (int i = 0; i < KEPT; i++)
        if (values[i])
            setenv(kept[i], values[i], 1);
    setenv("TERM", "xterm-256color", 1);
    setenv("LC_ALL", "C.UTF-8", 1);
    setenv("TZ", "UTC", 1);
    setenv("HOME", "/nonexistent", 1);
    setenv("FOREGUY_TEST_SYNC", "1", 1);
    for (; environment && *environment; environment++) {
        char name[64];
        const char *equals = strchr(*environment, '=');
        snprintf(name, sizeof name, "%.*s",
                 (int)(equals ? equals - *environment : (ptrdiff_t)strlen(*environment)),
                 *environment);
        if (equals)
            setenv(name, equals + 1, 1);
        else
            unsetenv(name);
    }
}

struct vt *vt_spawn(const char *const arguments[], const char *const environment[],
                    int rows, int columns)
{
    struct vt *vt = calloc(1, sizeof *vt);
    if (!vt)
        abort();
    vt->rows = rows;
    vt->columns = columns;
    vt->status = -1;
    start_emulator(vt);
    struct winsize size = {.ws_row = (unsigned short)rows,
                           .ws_col = (unsigned short)columns};
    vt->child = forkpty(&vt->master, NULL, NULL, &size);
    if (vt->child < 0)
        abort();
    if (vt->child == 0) {
        set_environment(environment);
        execvp(arguments[0], (char *const *)arguments);
        perror(arguments[0]);
        _exit(127);
    }
    return vt;
}

static int64_t now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec * INT64_C(1000) + now.tv_nsec / 1000000;
}

/* Reads more of the program's output; false at its end or at the deadline. */
static bool read_more(struct vt *vt, int64_t deadline_ms)
{
    while (!vt->ended) {
        int64_t left_ms = deadline_ms - now_ms();
        struct pollfd master = {vt->master, POLLIN, 0};
        if (left_ms <= 0 || poll(&master, 1, (int)left_ms) == 0)
            return false;
        size_t kept = vt->input_length - vt->input_at;
        memmove(vt->input, vt->input + vt->input_at, kept);
        vt->input_at = 0;
        vt->input_length = kept;
        ssize_t count = read(vt->master, vt->input + kept, sizeof vt->input - kept);
        if (count < 0 && errno == EINTR)
            continue;
        /* On Linux the end is an error: EIO. */
        vt->ended = count <= 0;
        vt->input_length += count > 0 ? (size_t)count : 0;
        return !vt->ended;
    }
    return false;
}

/* How much can be fed: a read may end within a frame report, which old emulators do not
 * put together again, or with the first byte of one. */
static size_t feedable(const struct vt *vt)
{
    size_t end = vt->input_length;
    for (size_t at = vt->input_length; at-- > vt->input_at;) {
        if (vt->input[at] != '\033')
            continue;
        if (at + 1 == vt->input_length)
            end = at;
        else if (vt->input[at + 1] == '\\')
            break;
        else if (vt->input[at + 1] == ']')
            end = at;
    }
    return end - vt->input_at;
}

/* Feeds the emulator to the end of the next frame report, or of what has been read. */
static void feed(struct vt *vt)
{
    int64_t frames = vt->state.frames;
    for (size_t left; (left = feedable(vt)) && vt->state.frames == frames;) {
        const char *from = vt->input + vt->input_at;
        const char *end = memchr(from, '\\', left);
        size_t length = end ? (size_t)(end - from) + 1 : left;
        vterm_input_write(vt->vterm, from, length);
        vt->input_at += length;
    }
}

typedef bool condition(struct vt *vt, const void *what);

/* Goes on frame by frame (or piece by piece) until CONDITION holds. */
static bool wait_for(struct vt *vt, bool whole_frames, condition *holds, const void *what)
{
    int64_t deadline_ms = now_ms() + VT_PATIENCE_MS;
    if (holds(vt, what))
        return true;
    for (;;) {
        int64_t frames = vt->state.frames;
        if (!feedable(vt) && !read_more(vt, deadline_ms))
            return vt->ended && holds(vt, what);
        feed(vt);
        if ((!whole_frames || vt->state.frames != frames) && holds(vt, what))
            return true;
    }
}

static bool has_ended(struct vt *vt, const void *what)
{
    (void)what;
    return vt->ended;
}

int vt_wait_end(struct vt *vt)
{
    if (vt->status != -1 || !wait_for(vt, false, has_ended, NULL))
        return vt->status;
    /* The end of output comes before the program has quite ended. */
    for (int64_t deadline_ms = now_ms() + VT_PATIENCE_MS; now_ms() < deadline_ms;) {
        int status;
        pid_t done = waitpid(vt->child, &status, WNOHANG);
        if (done == vt->child)
            return vt->status = status;
        if (done < 0 && errno != EINTR)
            return -1;
        poll(NULL, 0, 1);
    }
    return -1;
}

void vt_close(struct vt *vt)
{
    if (vt->status == -1) {
        kill(vt->child, SIGKILL);
        waitpid(vt->child, NULL, 0);
    }
    vt_hang_up(vt);
    vterm_free(vt->vterm);
    free(vt);
}

void vt_hang_up(struct vt *vt)
{
    if (vt->master >= 0)
        close(vt->master);
    vt->master = -1;
    vt->ended = true;
}

void vt_signal(struct vt *vt, int signal)
{
    kill(vt->child, signal);
}

void vt_modes(struct vt *vt, struct termios *modes)
{
    int failed = tcgetattr(vt->master, modes);
    assert(!failed);
    (void)failed;
}

void vt_set_modes(struct vt *vt, const struct termios *modes)
{
    int failed = tcsetattr(vt->master, TCSANOW, modes);
    assert(!failed);
    (void)failed;
}

bool vt_marks_pastes(struct vt *vt)
{
    vt->counting = true;
    vt->counted = 0;
    vterm_keyboard_start_paste(vt->vterm);
    vt->counting = false;
    return vt->counted > 0;
}

/* ---- waiting ---- */

static bool is_past_frame(struct vt *vt, const void *frame)
{
    return vt->state.frames > *(const int64_t *)frame;
}

bool vt_wait_frame(struct vt *vt)
{
    int64_t frame = vt->state.frames;
    return wait_for(vt, true, is_past_frame, &frame);
}

static bool has_text(struct vt *vt, const void *text)
{
    return vt_find(vt, text, NULL, NULL);
}

bool vt_wait_text(struct vt *vt, const char *text)
{
    return wait_for(vt, true, has_text, text);
}

bool vt_wait_output(struct vt *vt, const char *text)
{
    return wait_for(vt, false, has_text, text);
}

static bool has_clock(struct vt *vt, const void *clock_ms)
{
    return vt->state.clock_ms >= *(const int64_t *)clock_ms;
}

bool vt_wait_clock(struct vt *vt, int64_t clock_ms)
{
    return wait_for(vt, true, has_clock, &clock_ms);
}

static bool has_keys(struct vt *vt, const void *what)
{
    (void)what;
    return vt->state.keys >= vt->pressed;
}

static bool has_size(struct vt *vt, const void *what)
{
    (void)what;
    return vt->frame_rows == vt->rows && vt->frame_columns == vt->columns;
}

void vt_set_size(struct vt *vt, int rows, int columns)
{
    struct winsize size = {.ws_row = (unsigned short)rows,
                           .ws_col = (unsigned short)columns};
    vt->rows = rows;
    vt->columns = columns;
    vterm_set_size(vt->vterm, rows, columns);
    ioctl(vt->master, TIOCSWINSZ, &size);
}

bool vt_resize(struct vt *vt, int rows, int columns)
{
    vt_set_size(vt, rows, columns);
    return wait_for(vt, true, has_size, NULL);
}

/* ---- keys ---- */

void vt_send(struct vt *vt, const char *bytes, size_t length, int expect_keys)
{
    vt->pressed += expect_keys;
    write_master(bytes, length, vt);
}

void vt_send_key(struct vt *vt, const char *name)
{
    static const struct {
        uint32_t key;
        VTermKey code;
    } codes[] = {
        {PRESS_UP, VTERM_KEY_UP},          {PRESS_DOWN, VTERM_KEY_DOWN},
        {PRESS_LEFT, VTERM_KEY_LEFT},      {PRESS_RIGHT, VTERM_KEY_RIGHT},
        {PRESS_ENTER, VTERM_KEY_ENTER},    {PRESS_BACKSPACE, VTERM_KEY_BACKSPACE},
        {PRESS_ESCAPE, VTERM_KEY_ESCAPE},  {PRESS_TAB, VTERM_KEY_TAB},
        {PRESS_PAGE_UP, VTERM_KEY_PAGEUP}, {PRESS_PAGE_DOWN, VTERM_KEY_PAGEDOWN},
        {PRESS_HOME, VTERM_KEY_HOME},      {PRESS_END, VTERM_KEY_END},
        {PRESS_DELETE, VTERM_KEY_DEL},
    };
    uint32_t key = keys_find(name);
    assert(key != PRESS_NONE && key != PRESS_RESIZE);
    vt->pressed++;
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++)
        if (codes[i].key == key) {
            vterm_keyboard_key(vt->vterm, codes[i].code, VTERM_MOD_NONE);
            return;
        }
    char bytes[4];
    if (key == PRESS_BACK_TAB)
        vterm_keyboard_key(vt->vterm, VTERM_KEY_TAB, VTERM_MOD_SHIFT);
    else
        write_master(bytes, (size_t)glyph_write(key, bytes), vt);
}

bool vt_press(struct vt *vt, const char *key)
{
    vt_send_key(vt, key);
    return wait_for(vt, true, has_keys, NULL);
}

bool vt_type(struct vt *vt, const char *text)
{
    const char *at = text;
    int keys = 0;
    while (glyph_read(&at))
        keys++;
    vt_send(vt, text, strlen(text), keys);
    return wait_for(vt, true, has_keys, NULL);
}

void vt_paste(struct vt *vt, const char *text, int expect_keys)
{
    vterm_keyboard_start_paste(vt->vterm);
    vt_send(vt, text, strlen(text), expect_keys);
    vterm_keyboard_end_paste(vt->vterm);
}

void vt_spoil(struct vt *vt)
{
    /* The cursor goes back to where the program believes it to be. */
    char scribble[80];
    int length =
        snprintf(scribble, sizeof scribble, "\033[H#########\033[6H####\033[%d;%dH",
                 vt->state.cursor_row + 1, vt->state.cursor_column + 1);
    vterm_input_write(vt->vterm, scribble, (size_t)length);
}

/* ---- the screen ---- */

static VTermScreenCell cell_at(struct vt *vt, int row, int column)
{
    VTermScreenCell cell;
    memset(&cell, 0, sizeof cell);
    vterm_screen_get_cell(vt->screen, (VTermPos){row, column}, &cell);
    return cell;
}

struct vt_cell vt_cell(struct vt *vt, int row, int column)
{
    VTermScreenCell cell = cell_at(vt, row, column);
    struct vt_cell result = {
        .glyph = cell.chars[0] ? cell.chars[0] : ' ',
        .front = VTERM_COLOR_IS_DEFAULT_FG(&cell.fg) ? -1 : cell.fg.indexed.idx,
        .back = VTERM_COLOR_IS_DEFAULT_BG(&cell.bg) ? -1 : cell.bg.indexed.idx,
        .bold = cell.attrs.bold,
        .underline = cell.attrs.underline,
        .reverse = cell.attrs.reverse,
    };
    if (cell.chars[0] == (uint32_t)-1)
        result.glyph = 0;
    return result;
}

/* Writes a row at AT; COLUMNS_OF, if given, gets the column of each byte. */
static size_t write_row(struct vt *vt, int row, char *at, int *columns_of)
{
    size_t length = 0, written = 0;
    for (int column = 0; column < vt->columns; column++) {
        VTermScreenCell cell = cell_at(vt, row, column);
        bool blank = cell.chars[0] == 0;
        if (cell.chars[0] == (uint32_t)-1)
            continue;
        for (int i = 0; i < VTERM_MAX_CHARS_PER_CELL && (i == 0 || cell.chars[i]); i++) {
            int bytes = glyph_write(blank ? ' ' : cell.chars[i], at + length);
            for (int b = 0; columns_of && b < bytes; b++)
                columns_of[length + (size_t)b] = column;
            length += (size_t)bytes;
        }
        if (!blank && cell.chars[0] != ' ')
            written = length;
    }
    at[written] = '\0';
    return written;
}

const char *vt_row(struct vt *vt, int row)
{
    write_row(vt, row, vt->text, NULL);
    return vt->text;
}

const char *vt_text(struct vt *vt)
{
    size_t length = 0;
    for (int row = 0; row < vt->rows; row++) {
        length += write_row(vt, row, vt->text + length, NULL);
        vt->text[length++] = '\n';
    }
    vt->text[length] = '\0';
    return vt->text;
}

bool vt_find(struct vt *vt, const char *text, int *row, int *column)
{
    static const int BYTES_A_CELL = 4 * VTERM_MAX_CHARS_PER_CELL;
    int *columns_of = calloc((size_t)(vt->columns * BYTES_A_CELL), sizeof *columns_of);
    char *line = malloc((size_t)(vt->columns * BYTES_A_CELL) + 1);
    if (!columns_of || !line)
        abort();
    bool found = false;
    for (int i = 0; i < vt->rows && !found; i++) {
        write_row(vt, i, line, columns_of);
        const char *place = strstr(line, text);
        found = place != NULL;
        if (found && row)
            *row = i;
        if (found && column)
            *column = columns_of[place - line];
    }
    free(columns_of);
    free(line);
    return found;
}

const struct vt_state *vt_state(struct vt *vt)
{
    return &vt->state;
}
