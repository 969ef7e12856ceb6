/* Files that are wrong: every one of tests/bad gives exactly the messages beside it, and
 * every message there is has a case, in a file or made here where no file could be kept.
 * Of a procedure that loads, these are the notes of vet as well.
 */
#include "load_world.h"

#include "cards/sheet_lints.h"

#include <dirent.h>

static bool is_procedure(const struct source *source)
{
    return !world_ends_with(source->name, ".rig.yaml") &&
           !world_ends_with(source->name, ".crew.yaml") &&
           !world_ends_with(source->name, ".boat.yaml") &&
           !world_ends_with(source->name, ".csv");
}

/* What vet notes of PROCEDURE alone. */
static void add_notes(const struct procedure *procedure, struct arena *arena,
                      struct diags *diags)
{
    struct rig *rig = arena_alloc(arena, sizeof *rig);
    struct lints *lints = arena_alloc(arena, sizeof *lints);
    lints_of_procedure(procedure, lints);
    if (vet_rig_of_roles(procedure, true, rig))
        lints_of_orders(rig, &(struct vet_limits){0}, lints);
    sheet_lints(procedure->plan, procedure, lints, diags);
}

/* Loads SOURCE and marks its messages in SEEN; what is printed about it in OUT. */
static void run_case(const struct source *source, struct arena *arena,
                     bool seen[MESSAGE_COUNT], struct text *out)
{
    struct diags *diags = diags_new(arena);
    const void *loaded = world_load(source, arena, diags);
    ck_assert_msg(!loaded == (diags_errors(diags) > 0),
                  "%s: refused without an error, "
                  "or loaded with one",
                  source->name);
    if (loaded && is_procedure(source))
        add_notes(loaded, arena, diags);
    for (size_t i = 0; i < diags_count(diags); i++)
        seen[diags_at(diags, i)->message] = true;
    text_add(out, "");
    diags_write(diags, out);
}

static void check_file(const char *file, bool seen[MESSAGE_COUNT])
{
    struct arena *arena = arena_new();
    struct text found = {0};
    char *path = arena_printf(arena, BAD_FOLDER "%s", file);
    run_case(world_source(arena, path), arena, seen, &found);
    memcpy(strrchr(path, '.') + 1, "out", sizeof "out");
    struct text expected = world_read(path);
    ck_assert_msg(found.length > 0, "%s: nothing is said about it", file);
    ck_assert_msg(strcmp(found.at, expected.at) == 0, "%s:\n%s\nexpected:\n%s", file,
                  found.at, expected.at);
    text_free(&expected);
    text_free(&found);
    arena_free(arena);
}

/* Checks every file of tests/bad; returns how many there are. */
static int check_folder(bool seen[MESSAGE_COUNT])
{
    DIR *folder = opendir(BAD_FOLDER);
    ck_assert_ptr_nonnull(folder);
    int count = 0;
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;)
        if (world_ends_with(entry->d_name, ".yaml") ||
            world_ends_with(entry->d_name, ".csv")) {
            check_file(entry->d_name, seen);
            count++;
        }
    closedir(folder);
    return count;
}

static struct text repeated(const char *before, const char *what, int times)
{
    struct text text = {0};
    text_add(&text, before);
    for (int i = 0; i < times; i++)
        text_add(&text, what);
    return text;
}

/* Loads TEXT, which must be refused with MESSAGE. */
static void check_made(struct text text, const char *name, enum message message,
                       bool seen[MESSAGE_COUNT])
{
    struct arena *arena = arena_new();
    struct text out = {0};
    seen[message] = false;
    run_case(source_new(arena, name, text.at, text.length), arena, seen, &out);
    ck_assert_msg(seen[message], "%s expected, found:\n%.400s", message_name(message),
                  out.at);
    text_free(&out);
    text_free(&text);
    arena_free(arena);
}

static void check_big_ones(bool seen[MESSAGE_COUNT])
{
    const char *head = "format: 1\nprocedure: case\nabout: ";
    check_made(repeated("format: 1\n", "# nothing\n", 500000), "big.yaml",
               MESSAGE_TOO_BIG, seen);
    check_made(repeated("format: 1\nsteps:\n", "- a\n", 40000), "much.yaml",
               MESSAGE_TOO_MUCH, seen);
    check_made(repeated(head, "[", 10000), "deep.yaml", MESSAGE_TOO_DEEP, seen);
    check_made(repeated(head, "{a: ", 10000), "deep.yaml", MESSAGE_TOO_DEEP, seen);
    check_made(repeated("", "- ", 10000), "deep.yaml", MESSAGE_TOO_DEEP, seen);
    check_made(repeated("", "? ", 10000), "deep.yaml", MESSAGE_TOO_DEEP, seen);
}

/* A rig file under another name than its own. */
static void check_other_rig(bool seen[MESSAGE_COUNT])
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const char *rig = "format: 1\nrig: small\ntitle: A small rig\n"
                      "parts:\n  kite: {words: kite, values: {up: up, down: down}}\n"
                      "stations:\n  mast: {words: mast, forward: 0 m}\n"
                      "roles:\n  helm: {words: Helm, station: mast}\n";
    const char *text = "format: 1\nprocedure: case\ntitle: A case\nfamily: jibe\n"
                       "rig: symmetric\nbegin: {kite: up}\nsteps:\n"
                       "  - {step: a, role: helm, at: mast, do: A., takes: [1 s, 1 s, "
                       "1 s]}\n";
    struct load_choice choice = {BOARD_PORT, NULL, 0};
    const struct rig_plan *plan = load_rig(
        source_new(arena, "symmetric.yaml", rig, strlen(rig)), BOARD_PORT, arena, diags);
    ck_assert_ptr_nonnull(plan);
    const struct source *source = source_new(arena, "case.yaml", text, strlen(text));
    ck_assert_ptr_null(load_procedure(source, plan, &choice, arena, diags));
    ck_assert_uint_eq(diags_count(diags), 1);
    ck_assert_int_eq(diags_at(diags, 0)->message, MESSAGE_OTHER_RIG);
    ck_assert_uint_eq(diags_at(diags, 0)->where.line, 5);
    seen[MESSAGE_OTHER_RIG] = true;
    arena_free(arena);
}

START_TEST(test_every_bad_file_says_what_is_wrong)
{
    bool seen[MESSAGE_COUNT] = {false};
    ck_assert_int_gt(check_folder(seen), 100);
}
END_TEST

START_TEST(test_every_message_has_a_case)
{
    bool seen[MESSAGE_COUNT] = {false};
    seen[MESSAGE_UNREADABLE] = true;       /* said by command/, which opens the files */
    seen[MESSAGE_LINT_BEGIN_NEVER] = true; /* of several files: test_lints.c */
    seen[MESSAGE_LINT_BEGINS_NEVER] = true;
    seen[MESSAGE_LINT_RIG_PART_IDLE] = true;
    seen[MESSAGE_LINT_RIG_RULE_IDLE] = true;
    check_folder(seen);
    check_big_ones(seen);
    check_other_rig(seen);
    for (int i = 0; i < MESSAGE_COUNT; i++)
        ck_assert_msg(seen[i], "no case in tests/bad for %s",
                      message_name((enum message)i));
}
END_TEST

/* A file read twice into the same messages is refused both times. */
START_TEST(test_refused_again)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    const struct source *source = world_source(arena, BAD_FOLDER "no-hands.crew.yaml");
    ck_assert_ptr_null(load_crew(source, arena, diags));
    ck_assert_ptr_null(load_crew(source, arena, diags));
    ck_assert_uint_eq(diags_count(diags), 1);
    arena_free(arena);
}
END_TEST

/* Without its rig a procedure is still read, and nothing is said about the rig's names.
 */
START_TEST(test_without_a_rig)
{
    struct arena *arena = arena_new();
    struct diags *diags = diags_new(arena);
    struct load_choice choice = {BOARD_PORT, NULL, 0};
    const struct source *jibe = world_source(arena, JIBE_FILE);
    ck_assert_ptr_null(load_procedure(jibe, NULL, &choice, arena, diags));
    ck_assert_uint_eq(diags_count(diags), 0);
    const struct source *bad = world_source(arena, BAD_FOLDER "unknown-step.yaml");
    ck_assert_ptr_null(load_procedure(bad, NULL, &choice, arena, diags));
    ck_assert_uint_eq(diags_count(diags), 1);
    arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bad files");
    TCase *tcase = tcase_create("bad files");
    tcase_set_timeout(tcase, 100);
    tcase_add_test(tcase, test_every_bad_file_says_what_is_wrong);
    tcase_add_test(tcase, test_every_message_has_a_case);
    tcase_add_test(tcase, test_refused_again);
    tcase_add_test(tcase, test_without_a_rig);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? 1 : 0;
}
