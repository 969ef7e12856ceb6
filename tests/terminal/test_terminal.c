#include <check.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#include "suites.h"
#include "vt.h"

static const char *const demo[] = {CANVAS_DEMO, NULL};
static const char *const demo_ascii[] = {CANVAS_DEMO, "--ascii", NULL};
static const char *const shell[] = {"bash", "--norc", "--noprofile", "-i", NULL};

static struct vt *open_demo(const char *entry, int rows, int columns)
{
    const char *environment[] = {entry, NULL};
    struct vt *vt = vt_spawn(demo, environment, rows, columns);
    ck_assert_msg(vt_wait_frame(vt), "no frame: %s", vt_text(vt));
    return vt;
}

static struct vt_cell cell_of(struct vt *vt, const char *text, int offset)
{
    int row, column;
    ck_assert_msg(vt_find(vt, text, &row, &column), "no %s in %s", text, vt_text(vt));
    return vt_cell(vt, row, column + offset);
}

/* Everything is as it was before the program started. */
static void assert_restored(struct vt *vt)
{
    struct termios modes;
    vt_modes(vt, &modes);
    ck_assert(!vt_state(vt)->alternate);
    ck_assert(vt_state(vt)->cursor_shown);
    ck_assert((modes.c_lflag & (ECHO | ICANON | ISIG)) == (ECHO | ICANON | ISIG));
    ck_assert(modes.c_iflag & IXON);
    ck_assert(modes.c_iflag & ICRNL);
    ck_assert(!vt_marks_pastes(vt));
    ck_assert_msg(vt_state(vt)->strays == 0, "stray: %s", vt_state(vt)->stray);
}

static void assert_ends_well(struct vt *vt)
{
    vt_send_key(vt, "q");
    ck_assert_int_eq(vt_wait_end(vt), 0);
    assert_restored(vt);
}

static void assert_quits(struct vt *vt)
{
    assert_ends_well(vt);
    ck_assert_msg(vt_find(vt, "ended", NULL, NULL), "%s", vt_text(vt));
    vt_close(vt);
}

/* ---- looks ---- */

static const struct {
    const char *style;
    int front, back, bar;
    bool bold, underline, reverse;
} looks_256[] = {
    {"plain", -1, -1, -1, false, false, false},
    {"strong", -1, -1, -1, true, false, false},
    {"faint", 243, -1, 243, false, false, false},
    {"title", -1, -1, -1, true, false, true},
    {"now", 16, 32, 32, true, false, false},
    {"done", 16, 36, 36, false, false, false},
    {"holding", -1, -1, -1, false, true, false},
    {"overdue", 16, 214, 214, false, false, false},
    {"caution", 16, 214, 214, false, false, false},
    {"danger", 231, 160, 160, true, false, false},
    {"warning", 16, 166, 166, false, false, false},
    {"port", 166, -1, 166, true, false, false},
    {"starboard", 29, -1, 29, true, false, false},
    {"selected", 16, 32, 32, false, false, false},
};

START_TEST(styles_have_their_looks_with_256_colours)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    ck_assert(vt_state(vt)->alternate);
    struct vt_cell text = cell_of(vt, looks_256[_i].style, 0);
    ck_assert_int_eq(text.front, looks_256[_i].front);
    ck_assert_int_eq(text.back, looks_256[_i].back);
    ck_assert(text.bold == looks_256[_i].bold);
    ck_assert(text.underline == looks_256[_i].underline);
    ck_assert(text.reverse == looks_256[_i].reverse);
    struct vt_cell bar = cell_of(vt, looks_256[_i].style, 10);
    ck_assert_uint_eq(bar.glyph, 0x2584);
    ck_assert_int_eq(bar.front, looks_256[_i].bar);
    ck_assert_int_eq(bar.back, -1);
    ck_assert(!bar.reverse);
    assert_quits(vt);
}
END_TEST

static const struct {
    const char *name;
    int colours;
    bool alternate;
} terminals[] = {
    {"TERM=xterm-256color", 256, true}, {"TERM=screen-256color", 256, true},
    {"TERM=tmux-256color", 256, true},  {"TERM=xterm", 8, true},
    {"TERM=linux", 8, false},           {"TERM=screen", 8, true},
    {"TERM=vt100", 0, false},           {"TERM=vt220", 0, false},
    {"TERM=xterm-mono", 0, false}, /* its older way is not the emulator's */
};

START_TEST(the_demo_runs_on_every_terminal)
{
    const char *environment[] = {terminals[_i].name, NULL};
    struct vt *vt = vt_spawn(demo, environment, 24, 80);
    if (!vt_wait_frame(vt)) {
        ck_assert_msg(vt_find(vt, "is not known on this computer", NULL, NULL), "%s",
                      vt_text(vt));
        printf("skipped: %s is not described on this computer\n", terminals[_i].name);
        vt_close(vt);
        return;
    }
    ck_assert(vt_state(vt)->alternate == terminals[_i].alternate);
    ck_assert_str_eq(vt_row(vt, 0), "clock 0 key  pasted 0");
    ck_assert(vt_press(vt, "a"));
    ck_assert_str_eq(vt_row(vt, 0), "clock 100 key a pasted 0");
    ck_assert(vt_press(vt, "down"));
    ck_assert_str_eq(vt_row(vt, 0), "clock 100 key down pasted 0");
    struct vt_cell now = cell_of(vt, "now", 0);
    int blue = terminals[_i].colours == 256 ? 32 : terminals[_i].colours == 8 ? 4 : -1;
    ck_assert_int_eq(now.back, blue);
    ck_assert(now.reverse == (blue == -1));
    ck_assert_int_eq(cell_of(vt, "plain", 0).back, -1);
    assert_quits(vt);
}
END_TEST

static const struct {
    const char *entry;
    bool coloured;
} no_colours[] = {{"NO_COLOR=1", false}, {"NO_COLOR=", true}};

START_TEST(no_color_is_heeded_unless_empty)
{
    struct vt *vt = open_demo(no_colours[_i].entry, 24, 80);
    struct vt_cell danger = cell_of(vt, "danger", 0);
    ck_assert((danger.back != -1) == no_colours[_i].coloured);
    ck_assert(danger.reverse != no_colours[_i].coloured);
    ck_assert(danger.bold);
    assert_quits(vt);
}
END_TEST

static void assert_ascii(struct vt *vt)
{
    for (const char *c = vt_text(vt); *c; c++)
        ck_assert_msg((unsigned char)*c < 0x80, "%s", vt_text(vt));
    ck_assert(vt_find(vt, "Grusse ?? end", NULL, NULL) ||
              vt_find(vt, "Gruse ?? end", NULL, NULL));
    ck_assert(vt_find(vt, "plain     ####", NULL, NULL));
}

START_TEST(a_locale_without_utf8_gets_ascii)
{
    struct vt *vt = open_demo("LC_ALL=C", 24, 80);
    assert_ascii(vt);
    assert_quits(vt);
}
END_TEST

START_TEST(ascii_can_be_asked_for)
{
    struct vt *vt = vt_spawn(demo_ascii, NULL, 24, 80);
    ck_assert(vt_wait_frame(vt));
    assert_ascii(vt);
    assert_quits(vt);
}
END_TEST

START_TEST(wide_characters_take_two_columns)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    int row, column;
    ck_assert(vt_find(vt, "\u26f5", &row, &column));
    ck_assert_int_eq(row, 23);
    ck_assert_int_eq(column, 74);
    ck_assert_uint_eq(vt_cell(vt, row, 75).glyph, 0);
    ck_assert_uint_eq(vt_cell(vt, row, 79).glyph, 'd');
    assert_quits(vt);
}
END_TEST

START_TEST(the_cursor_shows_only_while_typing)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    ck_assert(!vt_state(vt)->cursor_shown);
    ck_assert(vt_press(vt, "m"));
    ck_assert(vt_state(vt)->cursor_shown);
    ck_assert_int_eq(vt_state(vt)->cursor_row, 1);
    ck_assert_int_eq(vt_state(vt)->cursor_column, 3);
    ck_assert(vt_press(vt, "m"));
    ck_assert(!vt_state(vt)->cursor_shown);
    assert_quits(vt);
}
END_TEST

START_TEST(the_bell_rings_once)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    ck_assert(vt_press(vt, "b"));
    ck_assert_int_eq(vt_state(vt)->bells, 1);
    assert_quits(vt);
}
END_TEST

/* ---- sizes ---- */

static const struct {
    int rows, columns;
} sizes[] = {{14, 40}, {24, 80}, {60, 200}, {1, 1}, {2, 3}, {130, 320}};

START_TEST(every_size_is_used)
{
    int rows = sizes[_i].rows, columns = sizes[_i].columns;
    struct vt *vt = open_demo(NULL, rows, columns);
    char first[128];
    snprintf(first, sizeof first, "interrupts 0 returns 0 size %dx%d", rows, columns);
    first[columns < (int)strlen(first) ? columns : (int)strlen(first)] = '\0';
    if (rows > 2)
        ck_assert_str_eq(vt_row(vt, 1), first);
    ck_assert(vt_press(vt, "a"));
    assert_ends_well(vt);
    vt_close(vt);
}
END_TEST

START_TEST(a_new_size_is_taken_up)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_spoil(vt);
    ck_assert(vt_resize(vt, 40, 120));
    ck_assert_str_eq(vt_row(vt, 0), "clock 0 key  pasted 0");
    ck_assert_str_eq(vt_row(vt, 1), "interrupts 0 returns 0 size 40x120");
    int row, column;
    ck_assert(vt_find(vt, "end", &row, &column));
    ck_assert_int_eq(row, 39);
    ck_assert_int_eq(column, 117);
    assert_quits(vt);
}
END_TEST

START_TEST(random_sizes_never_leave_a_wrong_screen)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    uint32_t random = 20261125;
    for (int i = 0; i < 300; i++) {
        random = random * 1664525 + 1013904223;
        int rows = 1 + (int)(random >> 16) % 60;
        random = random * 1664525 + 1013904223;
        int columns = 1 + (int)(random >> 16) % 200;
        ck_assert(vt_resize(vt, rows, columns));
        char line[64];
        snprintf(line, sizeof line, "interrupts 0 returns 0 size %dx%d", rows, columns);
        if (rows > 2 && columns > (int)strlen(line))
            ck_assert_str_eq(vt_row(vt, 1), line);
    }
    ck_assert(vt_resize(vt, 24, 80));
    assert_quits(vt);
}
END_TEST

/* ---- keys ---- */

static const char *const key_names[] = {
    "up",       "down", "left", "right", "space",   "enter",     "backspace",
    "escape",   "tab",  "home", "end",   "page-up", "page-down", "delete",
    "back-tab", "x",    "7",    "?",     "ctrl-s",  "ctrl-q",    "\u00e9",
};

START_TEST(keys_are_named)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    char line[64];
    snprintf(line, sizeof line, "clock 0 key %s pasted 0", key_names[_i]);
    ck_assert(vt_press(vt, key_names[_i]));
    ck_assert_str_eq(vt_row(vt, 0), line);
    assert_quits(vt);
}
END_TEST

START_TEST(ctrl_s_does_not_freeze)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    ck_assert(vt_press(vt, "ctrl-s"));
    ck_assert(vt_press(vt, "a"));
    ck_assert_str_eq(vt_row(vt, 0), "clock 100 key a pasted 0");
    ck_assert(vt_wait_clock(vt, 100));
    assert_quits(vt);
}
END_TEST

START_TEST(arrows_work_before_the_terminal_is_told)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_send(vt, "\033[A", 3, 1);
    ck_assert(vt_wait_text(vt, "key up"));
    vt_send(vt, "\033[1;5B", 6, 1);
    ck_assert(vt_wait_text(vt, "key down"));
    assert_quits(vt);
}
END_TEST

START_TEST(unknown_sequences_are_not_taken_for_their_letters)
{
    struct vt *vt = open_demo("TERM=vt100", 24, 80);
    static const char sequences[] = "\033[15~\033[1;9R\033[?9q";
    vt_send(vt, sequences, strlen(sequences), 0);
    ck_assert(vt_press(vt, "x"));
    ck_assert_str_eq(vt_row(vt, 0), "clock 0 key x pasted 0");
    ck_assert_int_eq(vt_state(vt)->keys, 1);
    assert_quits(vt);
}
END_TEST

/* Alt sends an Escape before the key: it is neither an Escape nor the key. */
START_TEST(alt_with_a_key_is_no_key)
{
    static const char *const sent[] = {
        "\033y",      "\033 ",      "\033\r",    "\033\303\266", "\033O",     "\033[",
        "\033\033[A", "\033\033OB", "\033[1;3C", "\033[1;3P",    "\033[6;3~", "\033q"};
    struct vt *vt = open_demo(_i ? "TERM=vt100" : "TERM=xterm-256color", 24, 80);
    for (size_t i = 0; i < sizeof sent / sizeof sent[0]; i++) {
        vt_send(vt, sent[i], strlen(sent[i]), 0);
        ck_assert(vt_resize(vt, 24, i % 2 ? 80 : 79)); /* a frame behind it */
        ck_assert_msg(vt_state(vt)->keys == 0, "behind %zu: %s", i, vt_text(vt));
    }
    ck_assert(vt_press(vt, "escape")); /* by itself it is one */
    ck_assert_int_eq(vt_state(vt)->keys, 1);
    vt_send(vt, "\033O\033[1;3C", 8, 0);
    ck_assert(vt_press(vt, "x"));
    ck_assert_int_eq(vt_state(vt)->keys, 2);
    assert_quits(vt);
}
END_TEST

START_TEST(a_paste_is_text_and_no_command)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    ck_assert(vt_marks_pastes(vt));
    vt_paste(vt, "qac", 3);
    ck_assert(vt_press(vt, "a"));
    ck_assert_str_eq(vt_row(vt, 0), "clock 100 key a pasted 3");
    assert_quits(vt);
}
END_TEST

START_TEST(live_ticks_come)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    ck_assert(vt_press(vt, "l"));
    ck_assert(vt_wait_text(vt, "ticking"));
    assert_quits(vt);
}
END_TEST

START_TEST(ctrl_l_draws_the_same_again)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    char before[80];
    snprintf(before, sizeof before, "%s", vt_row(vt, 5));
    vt_spoil(vt);
    ck_assert_str_ne(vt_row(vt, 5), before);
    ck_assert(vt_press(vt, "ctrl-l"));
    ck_assert_str_eq(vt_row(vt, 5), before);
    assert_quits(vt);
}
END_TEST

/* ---- ends ---- */

START_TEST(ctrl_c_is_reported_and_does_not_kill)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_send(vt, "\003", 1, 0);
    ck_assert(vt_wait_text(vt, "interrupts 1"));
    assert_quits(vt);
}
END_TEST

static const int ending_signals[] = {SIGTERM, SIGHUP};

START_TEST(termination_is_reported)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_signal(vt, ending_signals[_i]);
    int status = vt_wait_end(vt);
    ck_assert(WIFEXITED(status));
    ck_assert_int_eq(WEXITSTATUS(status), 128 + ending_signals[_i]);
    assert_restored(vt);
    vt_close(vt);
}
END_TEST

static const int crashes[] = {SIGSEGV, SIGABRT, SIGBUS, SIGFPE, SIGILL, SIGQUIT};

START_TEST(a_crash_restores_the_terminal_and_stays_a_crash)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_signal(vt, crashes[_i]);
    int status = vt_wait_end(vt);
    ck_assert(WIFSIGNALED(status));
    ck_assert_int_eq(WTERMSIG(status), crashes[_i]);
    assert_restored(vt);
    vt_close(vt);
}
END_TEST

START_TEST(the_quit_key_restores_the_terminal)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_send(vt, "\034", 1, 0);
    int status = vt_wait_end(vt);
    ck_assert(WIFSIGNALED(status) && WTERMSIG(status) == SIGQUIT);
    assert_restored(vt);
    vt_close(vt);
}
END_TEST

START_TEST(an_exit_from_deep_inside_restores_the_terminal)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_send_key(vt, "e");
    int status = vt_wait_end(vt);
    ck_assert(WIFEXITED(status) && WEXITSTATUS(status) == 2);
    assert_restored(vt);
    vt_close(vt);
}
END_TEST

/* A program that a pty leads itself cannot be stopped, so a shell starts it. */
START_TEST(ctrl_z_gives_the_screen_back_until_fg)
{
    const char *environment[] = {"PS1=ready> ", NULL};
    struct vt *vt = vt_spawn(shell, environment, 24, 80);
    ck_assert(vt_wait_output(vt, "ready>"));
    static const char command[] = "exec 2>&1; " CANVAS_DEMO "\n";
    vt_send(vt, command, strlen(command), 0);
    ck_assert_msg(vt_wait_text(vt, "returns 0 size 24x80"), "%s", vt_text(vt));
    ck_assert(vt_state(vt)->alternate);
    vt_send(vt, "\032", 1, 0);
    ck_assert_msg(vt_wait_output(vt, "Stopped"), "%s", vt_text(vt));
    ck_assert(!vt_state(vt)->alternate);
    ck_assert(vt_state(vt)->cursor_shown);
    vt_set_size(vt, 30, 90);
    vt_send(vt, "fg\n", 3, 0);
    ck_assert_msg(vt_wait_text(vt, "returns 1 size 30x90"), "%s", vt_text(vt));
    ck_assert(vt_state(vt)->alternate);
    ck_assert(!vt_state(vt)->cursor_shown);
    ck_assert(vt_marks_pastes(vt));
    ck_assert(vt_press(vt, "ctrl-s"));
    ck_assert(vt_press(vt, "a"));
    ck_assert_str_eq(vt_row(vt, 0), "clock 100 key a pasted 0");
    vt_send_key(vt, "q");
    ck_assert(vt_wait_output(vt, "ended"));
    vt_send(vt, "exit\n", 5, 0);
    ck_assert_int_eq(vt_wait_end(vt), 0);
    vt_close(vt);
}
END_TEST

/* Stopped without a chance to tidy up, while the line's modes change and other output
 * spoils the screen. */
START_TEST(a_stop_from_outside_is_mended)
{
    struct vt *vt = open_demo(NULL, 24, 80);
    vt_signal(vt, SIGSTOP);
    struct termios found, modes;
    vt_modes(vt, &found);
    modes = found;
    modes.c_lflag |= ECHO | ICANON;
    vt_set_modes(vt, &modes);
    vt_spoil(vt);
    vt_signal(vt, SIGCONT);
    ck_assert(vt_wait_text(vt, "returns 1 size 24x80"));
    ck_assert_str_eq(vt_row(vt, 0), "clock 0 key  pasted 0");
    vt_modes(vt, &modes);
    ck_assert_uint_eq(modes.c_lflag, found.c_lflag);
    assert_quits(vt);
}
END_TEST

/* The shell outlives the window and tells how the program ended. */
START_TEST(a_closed_window_ends_the_program)
{
    int ends[2];
    ck_assert_int_eq(pipe(ends), 0);
    char command[512];
    snprintf(command, sizeof command, "trap '' HUP; %s; echo $? >&%d", CANVAS_DEMO,
             ends[1]);
    const char *arguments[] = {"sh", "-c", command, NULL};
    struct vt *vt = vt_spawn(arguments, NULL, 24, 80);
    close(ends[1]);
    ck_assert(vt_wait_frame(vt));
    vt_hang_up(vt);
    char status[8] = "";
    ck_assert_int_eq(read(ends[0], status, sizeof status - 1), 4);
    ck_assert_str_eq(status, "129\n");
    close(ends[0]);
    vt_close(vt);
}
END_TEST

static const struct {
    const char *entry, *command, *reason;
} refusals[] = {
    {"TERM=dumb", CANVAS_DEMO, "terminal 'dumb' cannot place its cursor"},
    {"TERM=no-such-thing", CANVAS_DEMO, "'no-such-thing' is not known on this computer"},
    {"TERM", CANVAS_DEMO, "TERM is not set"},
    {"TERM=vt100", CANVAS_DEMO " </dev/null", "standard input is not a terminal"},
    {"TERM=vt100", CANVAS_DEMO " | cat; exit 2", "standard output is not a terminal"},
};

START_TEST(an_unusable_terminal_is_refused_with_the_reason)
{
    const char *arguments[] = {"sh", "-c", refusals[_i].command, NULL};
    const char *environment[] = {refusals[_i].entry, NULL};
    struct vt *vt = vt_spawn(arguments, environment, 24, 80);
    int status = vt_wait_end(vt);
    ck_assert(WIFEXITED(status));
    ck_assert_int_eq(WEXITSTATUS(status), 2);
    ck_assert_msg(vt_find(vt, refusals[_i].reason, NULL, NULL), "%s", vt_text(vt));
    ck_assert(!vt_state(vt)->alternate);
    vt_close(vt);
}
END_TEST

static TCase *new_case(Suite *suite, const char *name)
{
    TCase *tcase = tcase_create(name);
    tcase_set_timeout(tcase, 60);
    suite_add_tcase(suite, tcase);
    return tcase;
}

static int count_of(size_t bytes, size_t one)
{
    return (int)(bytes / one);
}

static void add_looks(Suite *suite)
{
    TCase *looks = new_case(suite, "looks");
    tcase_add_loop_test(looks, styles_have_their_looks_with_256_colours, 0,
                        count_of(sizeof looks_256, sizeof *looks_256));
    tcase_add_loop_test(looks, the_demo_runs_on_every_terminal, 0,
                        count_of(sizeof terminals, sizeof *terminals));
    tcase_add_loop_test(looks, no_color_is_heeded_unless_empty, 0,
                        count_of(sizeof no_colours, sizeof *no_colours));
    tcase_add_test(looks, a_locale_without_utf8_gets_ascii);
    tcase_add_test(looks, ascii_can_be_asked_for);
    tcase_add_test(looks, wide_characters_take_two_columns);
    tcase_add_test(looks, the_cursor_shows_only_while_typing);
    tcase_add_test(looks, the_bell_rings_once);
}

static void add_sizes(Suite *suite)
{
    TCase *all = new_case(suite, "sizes");
    tcase_add_loop_test(all, every_size_is_used, 0,
                        count_of(sizeof sizes, sizeof *sizes));
    tcase_add_test(all, a_new_size_is_taken_up);
    tcase_add_test(all, random_sizes_never_leave_a_wrong_screen);
}

static void add_keys(Suite *suite)
{
    TCase *keys = new_case(suite, "keys");
    tcase_add_loop_test(keys, keys_are_named, 0,
                        count_of(sizeof key_names, sizeof *key_names));
    tcase_add_test(keys, ctrl_s_does_not_freeze);
    tcase_add_test(keys, arrows_work_before_the_terminal_is_told);
    tcase_add_test(keys, unknown_sequences_are_not_taken_for_their_letters);
    tcase_add_loop_test(keys, alt_with_a_key_is_no_key, 0, 2);
    tcase_add_test(keys, a_paste_is_text_and_no_command);
    tcase_add_test(keys, live_ticks_come);
    tcase_add_test(keys, ctrl_l_draws_the_same_again);
}

static void add_ends(Suite *suite)
{
    TCase *ends = new_case(suite, "ends");
    tcase_add_test(ends, ctrl_c_is_reported_and_does_not_kill);
    tcase_add_loop_test(ends, termination_is_reported, 0,
                        count_of(sizeof ending_signals, sizeof *ending_signals));
    tcase_add_loop_test(ends, a_crash_restores_the_terminal_and_stays_a_crash, 0,
                        count_of(sizeof crashes, sizeof *crashes));
    tcase_add_test(ends, the_quit_key_restores_the_terminal);
    tcase_add_test(ends, an_exit_from_deep_inside_restores_the_terminal);
    tcase_add_test(ends, ctrl_z_gives_the_screen_back_until_fg);
    tcase_add_test(ends, a_stop_from_outside_is_mended);
    tcase_add_test(ends, a_closed_window_ends_the_program);
    tcase_add_loop_test(ends, an_unusable_terminal_is_refused_with_the_reason, 0,
                        count_of(sizeof refusals, sizeof *refusals));
}

Suite *terminal_suite(void)
{
    Suite *suite = suite_create("terminal");
    add_looks(suite);
    add_sizes(suite);
    add_keys(suite);
    add_ends(suite);
    return suite;
}
