/* The real program in a pseudo-terminal: a drill by the keys the screens tell, on several
 * terminals and sizes, and every way it can end or be interrupted. */
#include <check.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#include "suites.h"
#include "vt.h"

/* Keys come faster here than a hand can bounce. */
static const char *const program[] = {FOREGUY_PROGRAM, "run", "--guard", "0", NULL};
static const char *const resumed[] = {FOREGUY_PROGRAM, "run", "--resume",
                                      "--guard",       "0",   NULL};
static const char *const shell[] = {"bash", "--norc", "--noprofile", "-i", NULL};

struct home {
    char folder[64], data[600], own[600], entry[64], locale[64];
    const char *environment[6];
};

/* A home of its own for each test; ENTRY and LOCALE win over what vt_spawn sets. */
static void make_home(struct home *home, const char *entry, const char *locale)
{
    strcpy(home->folder, "/tmp/foreguy-test-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(home->folder));
    snprintf(home->data, sizeof home->data, "FOREGUY_DATA=%s", FOREGUY_SOURCE_DIR);
    snprintf(home->own, sizeof home->own, "XDG_DATA_HOME=%s", home->folder);
    snprintf(home->entry, sizeof home->entry, "%s", entry);
    snprintf(home->locale, sizeof home->locale, "%s", locale);
    const char *environment[] = {home->data,  home->own,    "FOREGUY_TEST_SYNC=1",
                                 home->entry, home->locale, NULL};
    memcpy(home->environment, environment, sizeof environment);
}

static void drop_home(const struct home *home)
{
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", home->folder);
    ck_assert_int_eq(system(command), 0);
}

static void assert_restored(struct vt *vt)
{
    struct termios modes;
    vt_modes(vt, &modes);
    ck_assert(!vt_state(vt)->alternate);
    ck_assert(vt_state(vt)->cursor_shown);
    ck_assert((modes.c_lflag & (ECHO | ICANON | ISIG)) == (ECHO | ICANON | ISIG));
}

static bool shows(struct vt *vt, const char *text)
{
    return vt_find(vt, text, NULL, NULL);
}

/* From the muster to the first call, by the keys in the footers. */
static void to_the_go(struct vt *vt)
{
    ck_assert_msg(vt_wait_text(vt, "Enter brief"), "%s", vt_text(vt));
    for (int i = 0; i < 20 && !shows(vt, "Dip-pole jibe: these"); i++)
        ck_assert(vt_press(vt, "down"));
    ck_assert(vt_press(vt, "enter"));
    ck_assert_msg(shows(vt, "Brief"), "%s", vt_text(vt));
    for (int i = 0; i < 20 && shows(vt, "ASK "); i++)
        ck_assert(vt_press(vt, "enter"));
    ck_assert_msg(shows(vt, "Enter: go"), "%s", vt_text(vt));
    ck_assert(vt_press(vt, "enter"));
    ck_assert_msg(shows(vt, "Space made"), "%s", vt_text(vt));
}

/* The step of a hand: painted as pressed, stored, painted as made. */
static void press_made(struct vt *vt, const char *key)
{
    ck_assert(vt_press(vt, key));
    while (shows(vt, " press "))
        ck_assert(vt_wait_frame(vt));
}

/* Digits of hands who are at it, so that the guard of one key never matters. */
static void make_all(struct vt *vt)
{
    for (int round = 0; round < 200 && !shows(vt, "Debrief"); round++) {
        bool any = false;
        for (int row = 0; row < 60 && !any; row++) {
            const char *text = vt_row(vt, row);
            bool busy =
                strstr(text, "NOW") || strstr(text, " see ") || strstr(text, "OVER ");
            if (text[0] && strlen(text) > 13 && text[1] >= '1' && text[1] <= '9' &&
                busy) {
                char key[2] = {text[1], '\0'};
                any = true;
                press_made(vt, key);
            }
        }
        if (!any)
            ck_assert(vt_wait_frame(vt));
    }
    ck_assert_msg(shows(vt, "Debrief"), "%s", vt_text(vt));
}

static const struct {
    const char *entry, *locale;
    int rows, columns;
} worlds[] = {{"TERM=xterm-256color", "LC_ALL=C.UTF-8", 24, 80},
              {"TERM=vt100", "LC_ALL=C", 24, 80},
              {"TERM=linux", "LC_ALL=C.UTF-8", 25, 80},
              {"TERM=xterm-256color", "LC_ALL=C.UTF-8", 40, 120},
              {"TERM=xterm-256color", "LC_ALL=C.UTF-8", 60, 200},
              {"TERM=xterm", "LC_ALL=C.UTF-8", 14, 40},
              {"TERM=vt220", "LC_ALL=POSIX", 24, 80},
              {"TERM=screen", "LC_ALL=C.UTF-8", 24, 80}};

START_TEST(a_drill_by_the_keys_the_screens_tell)
{
    struct home home;
    make_home(&home, worlds[_i].entry, worlds[_i].locale);
    struct vt *vt =
        vt_spawn(program, home.environment, worlds[_i].rows, worlds[_i].columns);
    to_the_go(vt);
    make_all(vt);
    ck_assert_msg(shows(vt, "Done in"), "%s", vt_text(vt));
    ck_assert_msg(worlds[_i].columns < 80 || shows(vt, "in the logbook"), "%s",
                  vt_text(vt));
    vt_send_key(vt, "q");
    int status = vt_wait_end(vt);
    ck_assert_int_eq(status, 0);
    assert_restored(vt);
    ck_assert_msg(shows(vt, "drill: done in"), "%s", vt_text(vt)); /* stays behind */
    vt_close(vt);
    drop_home(&home);
}
END_TEST

START_TEST(any_size_while_it_runs)
{
    struct home home;
    make_home(&home, "TERM=xterm-256color", "LC_ALL=C.UTF-8");
    struct vt *vt = vt_spawn(program, home.environment, 24, 80);
    to_the_go(vt);
    unsigned seed = 7;
    for (int i = 0; i < 600; i++) {
        seed = seed * 1664525u + 1013904223u;
        int rows = 1 + (int)((seed >> 16) % 60);
        seed = seed * 1664525u + 1013904223u;
        int columns = 1 + (int)((seed >> 16) % 200);
        ck_assert_msg(vt_resize(vt, rows, columns), "%d by %d", rows, columns);
        if (i % 50 == 0)
            ck_assert(vt_press(vt, i % 100 ? "h" : "f"));
    }
    ck_assert(vt_resize(vt, 14, 40));
    ck_assert_msg(shows(vt, "Space made"), "%s", vt_text(vt));
    ck_assert(vt_resize(vt, 24, 80));
    ck_assert_msg(vt_state(vt)->strays == 0, "stray: %s", vt_state(vt)->stray);
    vt_press(vt, "q");
    vt_press(vt, "y");
    vt_send_key(vt, "q");
    ck_assert(WIFEXITED(vt_wait_end(vt)));
    assert_restored(vt);
    vt_close(vt);
    drop_home(&home);
}
END_TEST

START_TEST(control_c_asks)
{
    struct home home;
    make_home(&home, "TERM=xterm-256color", "LC_ALL=C.UTF-8");
    struct vt *vt = vt_spawn(program, home.environment, 24, 80);
    to_the_go(vt);
    vt_send(vt, "\003", 1, 0);
    ck_assert_msg(vt_wait_text(vt, "Stop this run?"), "%s", vt_text(vt));
    ck_assert(vt_press(vt, "n"));
    ck_assert(!shows(vt, "Stop this run?") && shows(vt, "Space made"));
    vt_send(vt, "\003", 1, 0);
    ck_assert(vt_wait_text(vt, "Stop this run?"));
    ck_assert(vt_press(vt, "y"));
    ck_assert_msg(shows(vt, "Stopped"), "%s", vt_text(vt));
    vt_send_key(vt, "q");
    int status = vt_wait_end(vt);
    ck_assert(WIFEXITED(status) && WEXITSTATUS(status) == 1);
    vt_close(vt);
    drop_home(&home);
}
END_TEST

static const int ending[] = {SIGTERM, SIGHUP};

START_TEST(signals_leave_the_run_to_be_resumed)
{
    struct home home;
    make_home(&home, "TERM=xterm-256color", "LC_ALL=C.UTF-8");
    struct vt *vt = vt_spawn(program, home.environment, 24, 80);
    to_the_go(vt);
    press_made(vt, "2");
    ck_assert_msg(shows(vt, "stand by answered"), "%s", vt_text(vt));
    vt_signal(vt, ending[_i]);
    int status = vt_wait_end(vt);
    ck_assert(WIFSIGNALED(status) && WTERMSIG(status) == ending[_i]);
    assert_restored(vt);
    vt_close(vt);
    vt = vt_spawn(resumed, home.environment, 24, 80);
    ck_assert_msg(vt_wait_text(vt, "stand by answered"), "%s", vt_text(vt));
    make_all(vt);
    ck_assert_msg(shows(vt, "Done in"), "%s", vt_text(vt));
    vt_send_key(vt, "q");
    ck_assert_int_eq(vt_wait_end(vt), 0);
    vt_close(vt);
    drop_home(&home);
}
END_TEST

/* Junk of every kind: pieces of sequences, bytes of no text, a paste of commands; then
 * the run goes on, and what was pasted went nowhere but into the note. */
START_TEST(odd_bytes_do_nothing)
{
    static const char *const junk[] = {
        "\033[",  "\033[999;999H", "\377\376", "\033[12", "\033[?1;2c", "\033OH\033OF",
        "\033OZ", "\001\002\013",  "\033y",    "\033 ",   "\033q\033y", "\033\033[C"};
    struct home home;
    make_home(&home, "TERM=xterm-256color", "LC_ALL=C.UTF-8");
    struct vt *vt = vt_spawn(program, home.environment, 24, 80);
    to_the_go(vt);
    for (size_t i = 0; i < sizeof junk / sizeof junk[0]; i++) {
        vt_send(vt, junk[i], strlen(junk[i]), 0);
        ck_assert(vt_resize(vt, 24, i % 2 ? 80 : 79)); /* a frame behind it */
        ck_assert_msg(shows(vt, "STAND BY not answered") && shows(vt, "Caller calls") &&
                          !shows(vt, "Stop this run?"),
                      "behind junk %zu: %s", i, vt_text(vt));
    }
    ck_assert(vt_press(vt, "n"));
    vt_paste(vt, "qy\033[2J gusty", 8);
    ck_assert_msg(vt_wait_text(vt, "gusty_"), "%s", vt_text(vt));
    ck_assert(vt_press(vt, "enter"));
    ck_assert(vt_press(vt, "2"));
    ck_assert_msg(vt_wait_text(vt, "stand by answered"), "%s", vt_text(vt));
    vt_close(vt);
    drop_home(&home);
}
END_TEST

START_TEST(the_window_is_closed)
{
    struct home home;
    make_home(&home, "TERM=xterm-256color", "LC_ALL=C.UTF-8");
    struct vt *vt = vt_spawn(program, home.environment, 24, 80);
    to_the_go(vt);
    press_made(vt, "2");
    vt_hang_up(vt);
    vt_close(vt);
    vt = vt_spawn(resumed, home.environment, 24, 80);
    ck_assert_msg(vt_wait_text(vt, "stand by answered"), "%s", vt_text(vt));
    vt_close(vt);
    drop_home(&home);
}
END_TEST

START_TEST(stopped_and_brought_back)
{
    struct home home;
    make_home(&home, "TERM=xterm-256color", "LC_ALL=C.UTF-8");
    struct vt *vt = vt_spawn(shell, home.environment, 24, 80);
    char command[700];
    int length = snprintf(command, sizeof command, "'%s' run\n", FOREGUY_PROGRAM);
    vt_send(vt, command, (size_t)length, 0);
    to_the_go(vt);
    vt_send(vt, "\032", 1, 0);
    ck_assert_msg(vt_wait_output(vt, "Stopped"), "%s", vt_text(vt));
    ck_assert(!vt_state(vt)->alternate);
    vt_send(vt, "fg\n", 3, 0);
    ck_assert_msg(vt_wait_text(vt, "Space made"), "%s", vt_text(vt));
    ck_assert(vt_state(vt)->alternate);
    vt_close(vt);
    drop_home(&home);
}
END_TEST

START_TEST(without_a_terminal_it_says_what_to_do)
{
    struct home home;
    make_home(&home, "TERM=dumb", "LC_ALL=C");
    struct vt *vt = vt_spawn(program, home.environment, 24, 80);
    int status = vt_wait_end(vt);
    ck_assert(WIFEXITED(status) && WEXITSTATUS(status) == 2);
    ck_assert_msg(shows(vt, "--plain"), "%s", vt_text(vt));
    vt_close(vt);
    drop_home(&home);
}
END_TEST

START_TEST(no_colour_carries_meaning_alone)
{
    struct home home;
    make_home(&home, "TERM=xterm-256color", "NO_COLOR=1");
    struct vt *vt = vt_spawn(program, home.environment, 24, 80);
    to_the_go(vt);
    for (int row = 0; row < 24; row++)
        for (int column = 0; column < 80; column++) {
            struct vt_cell cell = vt_cell(vt, row, column);
            ck_assert(cell.front == -1 && cell.back == -1);
        }
    ck_assert(shows(vt, "STAND BY not answered") && shows(vt, "NOW"));
    vt_close(vt);
    drop_home(&home);
}
END_TEST

/* Ten hands who wait for nothing and undo each other's work: no search ends soon. */
static void write_large(const struct home *home)
{
    char path[200], command[200];
    snprintf(command, sizeof command, "mkdir -p '%s/foreguy/procedures/rig'",
             home->folder);
    ck_assert_int_eq(system(command), 0);
    snprintf(path, sizeof path, "%s/foreguy/procedures/rig/made-up.yaml", home->folder);
    FILE *rig = fopen(path, "w");
    snprintf(path, sizeof path, "%s/foreguy/procedures/large.yaml", home->folder);
    FILE *steps = fopen(path, "w");
    ck_assert(rig != NULL && steps != NULL);
    fputs("format: 1\nrig: made-up\ntitle: Made up\n"
          "parts: {p: {words: p, values: {a: a, b: b, c: c}}}\n"
          "stations: {here: {words: here, forward: 0 m}}\nroles:\n",
          rig);
    fputs("format: 1\nprocedure: large\ntitle: Large\nfamily: care\nrig: made-up\n"
          "revised: 2026-11-25\nabout: Made up.\nsource: a test\n"
          "suits: {hands: {least: 1, usual: 1}}\nbegin: {p: a}\n"
          "goal: {p: [a, b, c]}\nsteps:\n",
          steps);
    for (int r = 0; r < 10; r++) {
        fprintf(rig, "  r%d: {words: Role, station: here, sees: [p]}\n", r);
        for (int s = 0; s < 6; s++)
            fprintf(steps,
                    "  - {step: s%d-%d, role: r%d, at: here, do: Do it., takes: [1 s, "
                    "2 s, 3 s], finish: {p: %c}}\n",
                    r, s, r, 'a' + (r + s) % 3);
    }
    ck_assert_int_eq(fclose(rig) | fclose(steps), 0);
}

START_TEST(a_long_vet_is_watched_and_stopped)
{
    static const char *const vet[] = {FOREGUY_PROGRAM, "vet", "end-for-end-jibe", "large",
                                      "dip-pole-jibe", NULL};
    struct home home;
    make_home(&home, "TERM=vt100", "LC_ALL=C");
    write_large(&home);
    struct vt *vt = vt_spawn(vet, home.environment, 200, 120);
    ck_assert_msg(vt_wait_output(vt, "(Ctrl-C stops)"), "%s", vt_text(vt));
    ck_assert_msg(shows(vt, "end-for-end-jibe       both boards SAFE"), "%s",
                  vt_text(vt));
    ck_assert_msg(shows(vt, "large: "), "%s", vt_text(vt));
    vt_send(vt, "\003", 1, 0);
    int status = vt_wait_end(vt);
    ck_assert(WIFSIGNALED(status) && WTERMSIG(status) == SIGINT);
    ck_assert_msg(shows(vt, "large                  both boards UNDECIDED"), "%s",
                  vt_text(vt));
    ck_assert_msg(shows(vt, "Not vetted: dip-pole-jibe"), "%s", vt_text(vt));
    ck_assert_msg(!shows(vt, "(Ctrl-C stops)"), "%s", vt_text(vt));
    vt_close(vt);
    drop_home(&home);
}
END_TEST

Suite *program_suite(void)
{
    Suite *suite = suite_create("program");
    TCase *tests = tcase_create("program");
    tcase_set_timeout(tests, 60);
    tcase_add_loop_test(tests, a_drill_by_the_keys_the_screens_tell, 0,
                        (int)(sizeof worlds / sizeof worlds[0]));
    tcase_add_test(tests, any_size_while_it_runs);
    tcase_add_test(tests, control_c_asks);
    tcase_add_loop_test(tests, signals_leave_the_run_to_be_resumed, 0, 2);
    tcase_add_test(tests, odd_bytes_do_nothing);
    tcase_add_test(tests, the_window_is_closed);
    tcase_add_test(tests, stopped_and_brought_back);
    tcase_add_test(tests, without_a_terminal_it_says_what_to_do);
    tcase_add_test(tests, no_colour_carries_meaning_alone);
    tcase_add_test(tests, a_long_vet_is_watched_and_stopped);
    suite_add_tcase(suite, tests);
    return suite;
}
