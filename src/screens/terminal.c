#include "screens/terminal.h"

#include <assert.h>
#include <curses.h>
#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <langinfo.h>
#include <locale.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/timerfd.h>
#include <term.h>
#undef columns /* a macro of term.h */
#include <termios.h>
#include <unistd.h>
#include <wchar.h>

#include "base/clock.h"
#include "screens/canvas.h"
#include "screens/keys.h"
#include "screens/looks.h"

enum { CALM_SIGNALS = 6, CRASH_SIGNALS = 6, CRASH_STACK = 65536, ESCAPE = 27 };

/* Taken up in terminal_wait. */
static const int calm_signals[CALM_SIGNALS] = {SIGWINCH, SIGTERM, SIGHUP,
                                               SIGINT,   SIGCONT, SIGTSTP};
/* Restore the terminal, then take their course. */
static const int crash_signals[CRASH_SIGNALS] = {SIGSEGV, SIGABRT, SIGBUS,
                                                 SIGFPE,  SIGILL,  SIGQUIT};

/* ncurses and signal handlers have one terminal, so it is here and not in a handle: the
 * only variable outside functions in the whole program. */
static struct {
    bool open;
    bool ascii;
    bool in_paste;
    int colours; /* 0 where none are wanted */
    const struct clock *clock;
    SCREEN *screen;
    struct termios found; /* the terminal's modes before us */
    int timer_fd;
    int signal_read_fd, signal_write_fd;
    uint64_t pending; /* signals taken from the pipe, a bit each */
    bool sync;        /* FOREGUY_TEST_SYNC: report each frame */
    int64_t frames, keys;
    const char *paste_on, *paste_off;
    struct sigaction calm_before[CALM_SIGNALS], crash_before[CRASH_SIGNALS];
    size_t restore_length;
    char restore[512]; /* what a crash writes to restore the screen */
    char crash_stack[CRASH_STACK];
} the;

/* ---- colours ---- */

static bool wants_colour(const struct terminal_options *options)
{
    const char *no_color = getenv("NO_COLOR");
    return !options->colourless && !(no_color && *no_color) && has_colors();
}

static short pair_of(enum style style, bool drawing)
{
    return (short)(2 * (int)style + 1 + drawing);
}

static void open_colours(const struct terminal_options *options)
{
    the.colours = 0;
    if (!wants_colour(options) || start_color() == ERR ||
        COLOR_PAIRS <= pair_of(STYLE_COUNT, false))
        return;
    the.colours = COLORS;
    use_default_colors();
    for (int i = 0; i < 2 * STYLE_COUNT; i++) {
        struct look look = look_of((enum style)(i / 2), the.colours, i % 2);
        init_pair(pair_of((enum style)(i / 2), i % 2), look.front, look.back);
    }
}

/* ---- showing ---- */

/* The character as the C library can show it: where it does not agree with us about the
 * width, '?' keeps the columns right. */
static wchar_t shown_glyph(const struct cell *cell, bool wide)
{
    wchar_t glyph = (wchar_t)cell->glyph;
    return wcwidth(glyph) == (wide ? 2 : 1) ? glyph : L'?';
}

static void show_cell(int row, int column, const struct cell *cell, bool wide)
{
    bool drawing = look_is_drawing(cell->glyph);
    struct look look = look_of(cell->style, the.colours, drawing);
    attr_t attributes = (look.bold ? A_BOLD : 0) | (look.underline ? A_UNDERLINE : 0) |
                        (look.reverse ? A_REVERSE : 0);
    short pair = the.colours >= 8 ? pair_of(cell->style, drawing) : 0;
    wchar_t characters[] = {shown_glyph(cell, wide), (wchar_t)cell->mark, L'\0'};
    if (cell->mark && wcwidth((wchar_t)cell->mark) != 0)
        characters[1] = L'\0';
    cchar_t complex;
    setcchar(&complex, characters, attributes, pair, NULL);
    mvadd_wch(row, column, &complex);
    if (wide && characters[0] == L'?')
        mvadd_wch(row, column + 1, &complex);
}

static void show_row(const struct canvas *canvas, int row, int columns)
{
    for (int column = 0; column < columns; column++) {
        const struct cell *cell = canvas_cell(canvas, row, column);
        bool wide = column + 1 < canvas->columns &&
                    canvas_cell(canvas, row, column + 1)->glyph == 0;
        if (cell->glyph != 0 && !(wide && column + 1 == columns))
            show_cell(row, column, cell, wide);
    }
}

/* Tells a test that a frame is on its way: behind the frame and in the same stream, so
 * it cannot arrive before it. */
static void report_frame(void)
{
    char report[128];
    int length =
        snprintf(report, sizeof report,
                 "\033]7777;%" PRId64 ";%" PRId64 ";%" PRId64 ";%d;%d\033\\", the.frames,
                 the.keys, the.clock->now_ms(the.clock->self), LINES, COLS);
    for (int sent = 0; sent < length;) {
        ssize_t more = write(STDOUT_FILENO, report + sent, (size_t)(length - sent));
        if (more < 0 && errno != EINTR)
            return;
        sent += more > 0 ? (int)more : 0;
    }
}

void terminal_show(const struct canvas *canvas)
{
    assert(the.open);
    int rows = canvas->rows < LINES ? canvas->rows : LINES;
    int columns = canvas->columns < COLS ? canvas->columns : COLS;
    werase(stdscr);
    for (int row = 0; row < rows; row++)
        show_row(canvas, row, columns);
    int cursor_row = canvas->cursor_row < rows ? canvas->cursor_row : rows - 1;
    int cursor_column =
        canvas->cursor_column < columns ? canvas->cursor_column : columns - 1;
    wmove(stdscr, cursor_row, cursor_column);
    curs_set(canvas->cursor_shown);
    wnoutrefresh(stdscr);
    doupdate();
    the.frames++;
    if (the.sync)
        report_frame();
}

void terminal_redraw(void)
{
    assert(the.open);
    clearok(curscr, TRUE);
}

void terminal_bell(void)
{
    assert(the.open);
    beep();
}

bool terminal_is_ascii(void)
{
    return the.ascii;
}

void terminal_size(int *rows, int *columns)
{
    assert(the.open);
    *rows = LINES;
    *columns = COLS;
}

/* Asks the kernel, not the environment, which may be stale. */
static void take_size(void)
{
    struct winsize size;
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row && size.ws_col &&
        (size.ws_row != LINES || size.ws_col != COLS))
        resizeterm(size.ws_row, size.ws_col);
}

/* ---- signals ---- */

static void on_calm_signal(int signal)
{
    int saved = errno;
    unsigned char byte = (unsigned char)signal;
    /* A full pipe already holds the signal, or so many that one more tells nothing. */
    ssize_t written = write(the.signal_write_fd, &byte, 1);
    (void)written;
    errno = saved;
}

static void on_crash(int signal)
{
    ssize_t written = write(STDOUT_FILENO, the.restore, the.restore_length);
    (void)written;
    tcsetattr(STDIN_FILENO, TCSANOW, &the.found);
    /* SA_RESETHAND has put the default back: now it takes its course. */
    raise(signal);
}

static void catch_calm(int signal, struct sigaction *before)
{
    struct sigaction action = {.sa_handler = on_calm_signal, .sa_flags = SA_RESTART};
    sigemptyset(&action.sa_mask);
    sigaction(signal, &action, before);
}

/* Before newterm: ncurses leaves signals alone that are handled already. */
static void catch_calm_signals(void)
{
    for (int i = 0; i < CALM_SIGNALS; i++)
        catch_calm(calm_signals[i], &the.calm_before[i]);
}

static void catch_crashes(void)
{
    stack_t stack = {.ss_sp = the.crash_stack, .ss_size = sizeof the.crash_stack};
    sigaltstack(&stack, NULL);
    struct sigaction action = {.sa_handler = on_crash,
                               .sa_flags = SA_ONSTACK | (int)SA_RESETHAND};
    sigemptyset(&action.sa_mask);
    for (int i = 0; i < CRASH_SIGNALS; i++)
        sigaction(crash_signals[i], &action, &the.crash_before[i]);
}

static void release_signals(void)
{
    for (int i = 0; i < CRASH_SIGNALS; i++)
        sigaction(crash_signals[i], &the.crash_before[i], NULL);
    for (int i = 0; i < CALM_SIGNALS; i++)
        sigaction(calm_signals[i], &the.calm_before[i], NULL);
}

static void take_signals(void)
{
    unsigned char bytes[64];
    ssize_t count;
    while ((count = read(the.signal_read_fd, bytes, sizeof bytes)) > 0)
        for (ssize_t i = 0; i < count; i++)
            the.pending |= UINT64_C(1) << bytes[i];
}

static bool take_pending(int signal)
{
    uint64_t bit = UINT64_C(1) << signal;
    bool pending = the.pending & bit;
    the.pending &= ~bit;
    return pending;
}

/* ---- opening and closing ---- */

static int add_to_restore(int byte)
{
    if (the.restore_length < sizeof the.restore)
        the.restore[the.restore_length++] = (char)byte;
    return byte;
}

static const char *capability(const char *name)
{
    /* tigetstr does not change the name, though it does not say so. */
    char copy[16];
    snprintf(copy, sizeof copy, "%s", name);
    const char *string = tigetstr(copy);
    return string == (const char *)-1 ? NULL : string;
}

static void prepare_restore(void)
{
    static const char *const names[] = {"sgr0", "cnorm", "BD", "rmkx", "rmcup"};
    the.restore_length = 0;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const char *string = capability(names[i]);
        if (string)
            tputs(string, 1, add_to_restore);
    }
    if (!capability("rmcup"))
        tputs("\r\n", 1, add_to_restore);
}

static bool refuse(char *reason, const char *format, const char *name)
{
    snprintf(reason, TERMINAL_REASON_SIZE, format, name);
    return false;
}

/* Asked before newterm, which would print on a terminal that cannot be used. */
static bool is_usable(char *reason)
{
    const char *name = getenv("TERM");
    if (!isatty(STDIN_FILENO))
        return refuse(reason, "%s is not a terminal", "standard input");
    if (!isatty(STDOUT_FILENO))
        return refuse(reason, "%s is not a terminal", "standard output");
    if (!name || !*name)
        return refuse(reason, "%s is not set, so the terminal is not known", "TERM");
    int found;
    if (setupterm(NULL, STDOUT_FILENO, &found) == ERR)
        return refuse(reason, "terminal '%.60s' is not known on this computer", name);
    bool can_move = capability("cup") != NULL;
    del_curterm(cur_term);
    return can_move || refuse(reason, "terminal '%.60s' cannot place its cursor", name);
}

static bool open_wakers(void)
{
    int ends[2];
    the.timer_fd = timerfd_create(CLOCK_MONOTONIC, TFD_CLOEXEC | TFD_NONBLOCK);
    if (the.timer_fd < 0)
        return false;
    if (pipe(ends) != 0) {
        close(the.timer_fd);
        return false;
    }
    for (int i = 0; i < 2; i++) {
        fcntl(ends[i], F_SETFD, FD_CLOEXEC);
        fcntl(ends[i], F_SETFL, O_NONBLOCK);
    }
    the.signal_read_fd = ends[0];
    the.signal_write_fd = ends[1];
    return true;
}

static void close_wakers(void)
{
    close(the.timer_fd);
    close(the.signal_read_fd);
    close(the.signal_write_fd);
}

/* Asks the terminal to mark pastes, or not to; where it cannot, HOW is NULL. */
static void mark_pastes(const char *how)
{
    if (!how)
        return;
    putp(how);
    /* putp goes through stdout's buffer, all else of ncurses past it. */
    fflush(stdout);
}

static void set_modes(void)
{
    if (!getenv("ESCDELAY"))
        set_escdelay(25);
    cbreak();
    noecho();
    nonl();
    keypad(stdscr, TRUE);
    nodelay(stdscr, TRUE);
    struct termios modes;
    if (tcgetattr(STDIN_FILENO, &modes) == 0) {
        /* Ctrl-S would freeze the screen and the clock on it. */
        modes.c_iflag &= ~(tcflag_t)(IXON | IXOFF);
        tcsetattr(STDIN_FILENO, TCSANOW, &modes);
        def_prog_mode();
    }
    mark_pastes(the.paste_on);
}

bool terminal_open(const struct terminal_options *options, const struct clock *clock,
                   char reason[TERMINAL_REASON_SIZE])
{
    assert(!the.open);
    setlocale(LC_CTYPE, "");
    if (!is_usable(reason))
        return false;
    if (tcgetattr(STDIN_FILENO, &the.found) != 0 || !open_wakers())
        return refuse(reason, "the terminal cannot be used: %s", strerror(errno));
    catch_calm_signals();
    the.screen = newterm(NULL, stdout, stdin);
    if (!the.screen) {
        release_signals();
        close_wakers();
        return refuse(reason, "terminal '%.60s' cannot be opened", getenv("TERM"));
    }
    typeahead(-1); /* a frame is shown whole even while keys come in */
    the.open = true;
    the.clock = clock;
    the.ascii = options->ascii || strcmp(nl_langinfo(CODESET), "UTF-8") != 0;
    const char *sync = getenv("FOREGUY_TEST_SYNC");
    the.sync = sync && *sync;
    the.paste_on = capability("BE");
    the.paste_off = capability("BD");
    prepare_restore();
    catch_crashes();
    atexit(terminal_close);
    open_colours(options);
    set_modes();
    take_size();
    terminal_set_tick(TERMINAL_CALM_MS);
    return true;
}

static void leave_screen(void)
{
    mark_pastes(the.paste_off);
    endwin();
    tcsetattr(STDIN_FILENO, TCSADRAIN, &the.found);
}

void terminal_close(void)
{
    if (!the.open)
        return;
    the.open = false;
    leave_screen();
    release_signals();
    delscreen(the.screen);
    close_wakers();
}

/* ---- waiting ---- */

void terminal_set_tick(int period_ms)
{
    assert(the.open && period_ms > 0);
    /* An interval timer counts from its start, so a late tick delays no other. */
    struct timespec period = {period_ms / 1000, period_ms % 1000 * 1000000L};
    struct itimerspec timer = {period, period};
    timerfd_settime(the.timer_fd, 0, &timer, NULL);
}

static void enter_screen(void)
{
    reset_prog_mode();
    take_size();
    clearok(curscr, TRUE);
    mark_pastes(the.paste_on);
}

/* Stops as the default action of Ctrl-Z would; comes back when the shell continues us. */
static void suspend(void)
{
    leave_screen();
    struct sigaction ours, usual = {.sa_handler = SIG_DFL};
    sigemptyset(&usual.sa_mask);
    sigaction(SIGTSTP, &usual, &ours);
    raise(SIGTSTP);
    sigaction(SIGTSTP, &ours, NULL);
    take_signals();
    take_pending(SIGCONT);
}

static bool take_signal_event(struct terminal_event *event)
{
    take_signals();
    static const int ends[] = {SIGTERM, SIGHUP};
    for (size_t i = 0; i < 2; i++)
        if (take_pending(ends[i])) {
            event->happening = TERMINAL_TERMINATED;
            event->signal = ends[i];
            return true;
        }
    if (take_pending(SIGINT)) {
        the.in_paste = false;
        event->happening = TERMINAL_INTERRUPTED;
        return true;
    }
    bool stopped = take_pending(SIGTSTP);
    if (stopped)
        suspend();
    if (stopped || take_pending(SIGCONT)) {
        enter_screen();
        event->happening = TERMINAL_CONTINUED;
        return true;
    }
    if (take_pending(SIGWINCH)) {
        take_size();
        event->happening = TERMINAL_RESIZED;
        return true;
    }
    return false;
}

static bool take_tick(struct terminal_event *event)
{
    uint64_t ticks;
    if (read(the.timer_fd, &ticks, sizeof ticks) != sizeof ticks)
        return false;
    event->happening = TERMINAL_TICK;
    return true;
}

/* Reads the rest of `ESC [`: a key unknown to the terminal's description must not be
 * taken for the letters and digits it is made of. */
static uint32_t read_sequence(void)
{
    enum { PASTE_BEGINS = 200, PASTE_ENDS = 201, NUMBERS = 3 };
    wint_t next;
    int numbers[NUMBERS] = {0}, at = 0;
    while (get_wch(&next) == OK) {
        if (next >= '0' && next <= '9' && numbers[at] < 1000)
            numbers[at] = numbers[at] * 10 + (int)(next - '0');
        else if (at + 1 < NUMBERS && next < 0x40)
            at++;             /* the last one takes what is of no interest */
        if (next == ESCAPE) { /* cut off by the next one */
            unget_wch(ESCAPE);
            return PRESS_NONE;
        }
        if (next < 0x40 || next > 0x7e)
            continue;
        if (next == '~' && (numbers[0] == PASTE_BEGINS || numbers[0] == PASTE_ENDS))
            the.in_paste = numbers[0] == PASTE_BEGINS;
        return keys_from_sequence(numbers[0], numbers[1], (char)next);
    }
    return PRESS_NONE;
}

/* The letter behind `ESC O`: Home must not be taken for H. */
static uint32_t read_letter(void)
{
    wint_t next;
    if (get_wch(&next) != OK)
        return PRESS_NONE;
    if (next == ESCAPE)
        unget_wch(ESCAPE);
    return keys_from_sequence(0, 0, (char)next);
}

/* What comes at once behind an Escape was sent with it: by a key unknown to the
 * terminal's description, or by Alt, and neither may be taken for the letter it ends in.
 */
static uint32_t read_escape(void)
{
    wint_t next;
    int got;
    bool doubled = false; /* pressed twice, or Alt before a sequence */
    while ((got = get_wch(&next)) == OK && next == ESCAPE)
        doubled = true;
    if (got == ERR) {
        the.in_paste = false; /* pressed by hand: no paste is going on */
        return PRESS_ESCAPE;
    }
    uint32_t key = PRESS_NONE;
    if (got == OK && next == '[')
        key = read_sequence();
    else if (got == OK && next == 'O')
        key = read_letter();
    return doubled ? PRESS_NONE : key;
}

static uint32_t from_character(wint_t character)
{
    switch (character) {
    case '\r':
    case '\n':
        return PRESS_ENTER;
    case '\t':
        return PRESS_TAB;
    case '\b':
    case 0x7f:
        return PRESS_BACKSPACE;
    case ESCAPE:
        return read_escape();
    default:
        return character < PRESS_UP ? (uint32_t)character : PRESS_NONE;
    }
}

static bool take_key(struct terminal_event *event)
{
    wint_t code;
    for (int got; (got = get_wch(&code)) != ERR;) {
        uint32_t key = got == KEY_CODE_YES ? keys_from_terminal(keyname((int)code))
                                           : from_character(code);
        if (key == PRESS_NONE)
            continue;
        the.keys++;
        event->happening = TERMINAL_KEY;
        event->key = key;
        event->pasted = the.in_paste;
        return true;
    }
    return false;
}

/* Sleeps until something may have come; false if the terminal is gone. */
static bool sleep_until_woken(void)
{
    struct pollfd wakers[] = {{STDIN_FILENO, POLLIN, 0},
                              {the.timer_fd, POLLIN, 0},
                              {the.signal_read_fd, POLLIN, 0}};
    int woken = poll(wakers, sizeof wakers / sizeof *wakers, -1);
    return woken <= 0 || !(wakers[0].revents & (POLLHUP | POLLERR | POLLNVAL));
}

bool terminal_has_key(void)
{
    struct pollfd typed = {STDIN_FILENO, POLLIN, 0};
    return poll(&typed, 1, 0) > 0;
}

struct terminal_event terminal_wait(void)
{
    assert(the.open);
    struct terminal_event event = {0};
    while (!take_signal_event(&event) && !take_tick(&event) && !take_key(&event))
        if (!sleep_until_woken()) {
            event.happening = TERMINAL_TERMINATED;
            event.signal = SIGHUP;
            break;
        }
    event.at_ms = the.clock->now_ms(the.clock->self);
    return event;
}
