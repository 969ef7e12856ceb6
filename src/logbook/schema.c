#include "logbook/internal.h"

#include <sqlite3.h>
#include <string.h>

enum { APPLICATION_ID = 0x46677579 }; /* "Fguy" */

/* Reading every page of a small logbook costs a few milliseconds; of a big one it would
 * delay the crew. */
enum { QUICK_CHECK_BYTES = 8 * 1024 * 1024 };

/* `closed` and `outcome` are two things: a run can be put away without having come to an
 * end.  The triggers hold what the program promises: nothing recorded is changed. */
static const char version_1[] =
    "PRAGMA application_id = 1181185401;"
    "CREATE TABLE run ("
    " id INTEGER PRIMARY KEY,"
    " uuid TEXT NOT NULL UNIQUE CHECK (length(uuid) = 36),"
    " wall_ms INTEGER NOT NULL,"
    " boot_ms INTEGER NOT NULL,"
    " board INTEGER NOT NULL,"
    " mode INTEGER NOT NULL,"
    " pilot INTEGER NOT NULL,"
    " hands INTEGER NOT NULL,"
    " boot_id TEXT NOT NULL,"
    " procedure TEXT NOT NULL,"
    " title TEXT NOT NULL,"
    " options TEXT NOT NULL,"
    " wind TEXT NOT NULL,"
    " proof TEXT NOT NULL,"
    " version TEXT NOT NULL,"
    " recovers TEXT NOT NULL,"
    " procedure_text TEXT NOT NULL,"
    " rig_text TEXT NOT NULL,"
    " boat_text TEXT NOT NULL,"
    " crew_text TEXT NOT NULL,"
    " bill_text TEXT NOT NULL,"
    " begin_text TEXT NOT NULL,"
    " closed INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1)),"
    " outcome INTEGER NOT NULL DEFAULT 0,"
    " total_ms INTEGER NOT NULL DEFAULT -1"
    ") STRICT;"
    "CREATE INDEX run_by_time ON run (wall_ms, id);"
    "CREATE TABLE event ("
    " run INTEGER NOT NULL REFERENCES run (id),"
    " seq INTEGER NOT NULL CHECK (seq >= 0),"
    " at_ms INTEGER NOT NULL,"
    " kind INTEGER NOT NULL,"
    " step INTEGER NOT NULL,"
    " value INTEGER NOT NULL,"
    " text TEXT NOT NULL,"
    " PRIMARY KEY (run, seq)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER event_of_open_run BEFORE INSERT ON event"
    " WHEN (SELECT closed FROM run WHERE id = NEW.run) BEGIN"
    " SELECT RAISE(ABORT, 'the run is closed'); END;"
    "CREATE TRIGGER event_stays BEFORE UPDATE ON event BEGIN"
    " SELECT RAISE(ABORT, 'an event is never changed'); END;"
    "CREATE TRIGGER event_kept BEFORE DELETE ON event BEGIN"
    " SELECT RAISE(ABORT, 'an event is never erased'); END;";

static const struct schema_step all_steps[] = {{version_1}};

_Static_assert(sizeof all_steps / sizeof *all_steps == LOGBOOK_VERSION,
               "a step for each version");

const struct schema_step *schema_steps(int *count)
{
    *count = LOGBOOK_VERSION;
    return all_steps;
}

/* The one number that SQL gives; the database's code. */
static int ask(struct sqlite3 *db, const char *sql, int64_t *out)
{
    sqlite3_stmt *statement = NULL;
    int code = sqlite3_prepare_v2(db, sql, -1, &statement, NULL);
    if (code == SQLITE_OK) {
        code = sqlite3_step(statement);
        if (code == SQLITE_ROW)
            *out = sqlite3_column_int64(statement, 0);
        code = code == SQLITE_ROW ? SQLITE_OK : code;
    }
    sqlite3_finalize(statement);
    return code;
}

static bool refuse(struct text *why, struct sqlite3 *db)
{
    int code = sqlite3_errcode(db) & 0xff;
    if (code == SQLITE_NOTADB)
        text_add(why, "not a logbook; left as it is");
    else if (code == SQLITE_CORRUPT)
        text_add(why, "damaged; left as it is");
    else if (code == SQLITE_BUSY)
        text_add(why, "locked by another program");
    else
        text_add(why, sqlite3_errmsg(db));
    return false;
}

static bool refuse_newer(int64_t version, struct text *why)
{
    text_printf(why,
                "written by a newer version (format %d, known here up to %d); "
                "left as it is",
                (int)version, LOGBOOK_VERSION);
    return false;
}

/* An empty database is a new logbook. */
static bool check_owner(int64_t application, int64_t version, int64_t tables,
                        struct text *why)
{
    bool ours = application == APPLICATION_ID && version > 0;
    bool empty = !application && !version && !tables;
    if (!ours && !empty) {
        text_add(why, "a database of another program; left as it is");
        return false;
    }
    return version <= LOGBOOK_VERSION || refuse_newer(version, why);
}

static bool is_sound(struct sqlite3 *db)
{
    sqlite3_stmt *statement = NULL;
    bool sound = sqlite3_prepare_v2(db, "PRAGMA quick_check(1)", -1, &statement, NULL) ==
                     SQLITE_OK &&
                 sqlite3_step(statement) == SQLITE_ROW;
    if (sound) {
        const unsigned char *said = sqlite3_column_text(statement, 0);
        sound = said && strcmp((const char *)said, "ok") == 0;
    }
    sqlite3_finalize(statement);
    return sound;
}

static bool check_all(struct sqlite3 *db, struct text *why)
{
    int64_t application = 0, version = 0, tables = 0, pages = 0, page_size = 0;
    if (ask(db, "PRAGMA application_id", &application) != SQLITE_OK ||
        ask(db, "PRAGMA user_version", &version) != SQLITE_OK ||
        ask(db, "SELECT count(*) FROM sqlite_schema", &tables) != SQLITE_OK ||
        ask(db, "PRAGMA page_count", &pages) != SQLITE_OK ||
        ask(db, "PRAGMA page_size", &page_size) != SQLITE_OK)
        return refuse(why, db);
    if (!check_owner(application, version, tables, why))
        return false;
    if (pages * page_size <= QUICK_CHECK_BYTES && !is_sound(db)) {
        text_add(why, "damaged; left as it is");
        return false;
    }
    return true;
}

/* In one transaction: between two questions another program may make the tables. */
bool schema_check(struct sqlite3 *db, struct text *why)
{
    if (sqlite3_exec(db, "BEGIN", NULL, NULL, NULL) != SQLITE_OK)
        return refuse(why, db);
    bool fits = check_all(db, why);
    sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    return fits;
}

/* Within the transaction: another program may have been here first. */
static bool climb(struct sqlite3 *db, const struct schema_step *steps, int count,
                  struct text *why)
{
    int64_t version = 0;
    if (ask(db, "PRAGMA user_version", &version) != SQLITE_OK)
        return refuse(why, db);
    if (version > count)
        return refuse_newer(version, why);
    for (; version < count; version++)
        if (sqlite3_exec(db, steps[version].sql, NULL, NULL, NULL) != SQLITE_OK)
            return refuse(why, db);
    struct text sql = {0};
    text_printf(&sql, "PRAGMA user_version = %d", count);
    bool set = sqlite3_exec(db, sql.at, NULL, NULL, NULL) == SQLITE_OK;
    text_free(&sql);
    return set || refuse(why, db);
}

bool schema_migrate(struct sqlite3 *db, const struct schema_step *steps, int count,
                    struct text *why)
{
    int64_t version = 0;
    if (ask(db, "PRAGMA user_version", &version) != SQLITE_OK)
        return refuse(why, db);
    if (version == count)
        return true;
    if (sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL) != SQLITE_OK)
        return refuse(why, db);
    bool done = climb(db, steps, count, why);
    if (done && sqlite3_exec(db, "COMMIT", NULL, NULL, NULL) != SQLITE_OK)
        done = refuse(why, db);
    if (!done && !sqlite3_get_autocommit(db))
        sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    return done;
}
