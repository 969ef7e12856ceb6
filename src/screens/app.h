/* The screens together: which one stands, what a key does, what is drawn.  Knows no
 * terminal and no clock of its own: app_press takes keys, app_draw fills a canvas, and
 * everything else comes in through struct app_world.  The caller owns the struct app
 * from app_start to app_end. */
#ifndef SCREENS_APP_H
#define SCREENS_APP_H

#include "base/text.h"
#include "base/units.h"
#include "bill/bill_pins.h"
#include "load/library.h"
#include "model/boat.h"
#include "screens/pace.h"
#include "screens/recover.h"
#include "screens/screen.h"
#include "screens/scroll.h"
#include "screens/session.h"
#include "screens/to_mark.h"

/* The outside, lent for as long as the app lives. */
struct app_world {
    const struct library *library;
    const struct crew *crew;
    const struct boat *boat;
    struct logbook *logbook;     /* NULL: nothing is recorded */
    const char *logbook_trouble; /* why there is none; NULL: on purpose */
    const struct clock *clock;
    const char *boot_id, *version;
    enum units units; /* of figures */
    bool silent;      /* no bell */
    int guard_ms;     /* a repeat of the same key within this is ignored; -1: as usual */
    /* shows the app at once (a pressed key, before it is stored); NULL: not needed */
    void (*show)(struct app *app, void *self);
    /* a key is pressed and not yet taken; NULL: that is not known */
    bool (*key_waits)(void *self);
    void (*bell)(void *self);
    void *self;
};

/* How one procedure of the library fits the hands aboard. */
struct fit {
    int index;         /* in the library */
    const char *title; /* or the file's name where it does not load */
    int family;        /* enum family; behind the last where it does not load */
    bool loads;
    enum bill_verdict verdict; /* with the file's own options */
};

/* What is loaded for the choice at the muster; one arena, replaced as a whole. */
struct kit {
    struct arena *arena;
    const struct procedure *procedure; /* NULL: see trouble */
    struct crew crew;                  /* as aboard now */
    struct bill_wish wish;             /* what the bill was asked to be */
    struct bill bill;                  /* with the moves made by hand */
    enum bill_verdict verdict;
    struct pins pins;    /* where somebody is pinned or a step was moved: the free bill */
    struct text pinned;  /* who is pinned and what that costs; empty: nobody is */
    bool moved;          /* a step was moved by hand */
    struct text refused; /* why the last move by hand was not taken */
    struct text proof;   /* what vet says of the bill; empty: not asked yet */
    struct text trouble; /* messages of the files, or why there is no bill */
    int64_t speaks_ms;   /* when it is said next how far the bill is */
    struct fit fits[LIBRARY_MAX]; /* by family and title */
    int fit_count;
};

enum { SESSION_ARENAS_MAX = 8 };

enum pane { PANE_PROCEDURES, PANE_HANDS, PANE_OPTIONS, PANE_DETAILS, PANE_COUNT };

/* A question that stands over the screen; any other key takes it away. */
enum asking {
    ASKING_NOTHING,
    ASKING_QUIT,
    ASKING_STOP,
    ASKING_GO,
    ASKING_SKIP,
    ASKING_CATCH_UP,
    ASKING_ALL_MADE,
    ASKING_LOST, /* a digit says which hand */
    TYPING_NOTE, /* this and the next: text */
    TYPING_WIND,
    TYPING_MARK
};

/* The library as written for one board and the wind typed, each file loaded when it is
 * first asked for. */
struct shelf {
    struct arena *arena; /* NULL: nothing is asked for yet */
    bool loaded[LIBRARY_MAX];
    const struct procedure *procedures[LIBRARY_MAX]; /* NULL: it does not load */
};

struct app {
    struct app_world world;
    struct library library;  /* that of the world, with the wind that is typed */
    struct shelf shelves[2]; /* by board */
    const struct screen *screen, *behind_help;
    struct kit kit;
    /* the choice at the muster */
    int procedure; /* in the library */
    bool aboard[HANDS_MAX];
    bool option_on[OPTIONS_MAX];
    int option_count; /* 0: the file's own values */
    enum board board;
    enum run_mode mode;
    bool pilot;
    int8_t pinned[ROLES_MAX];    /* hand who must wear the role; -1: nobody */
    int pinned_for;              /* the procedure of these pins, in the library */
    char wind[WEATHER_TEXT_MAX]; /* as typed */
    struct weather weather;      /* what it means */
    enum pane pane;
    int at[PANE_COUNT]; /* the line under the selection */
    /* the run */
    struct session session;
    /* of a run taken up or linked; none: it borrows the kit */
    struct arena *session_arenas[SESSION_ARENAS_MAX];
    int session_arena_count;
    bool has_session;
    struct pace pace;
    int pressed;                 /* step whose key is down and not stored yet; -1: none */
    int chosen_lane;             /* for skip and catch-up; -1: the step that is due */
    struct arena *recover_arena; /* while the way on is being chosen */
    struct offers *offers;       /* NULL: the mishap is not chosen yet */
    int mishap;                  /* chosen; -1: none of them */
    int line;                    /* the selection on that screen */
    bool overboard_hidden;       /* the memory items were put away */
    bool far;                    /* the call alone, for reading from far away */
    struct to_mark mark;         /* how far it is, for the brief and the run */
    struct scroll scroll;
    int rung_for; /* the step the bell rang for last; -1: none */
    /* over the screens */
    enum asking asking;
    char typed[RUN_TEXT_MAX];
    char message[160];
    bool over;          /* leave the program */
    char farewell[200]; /* printed on the normal screen afterwards */
};

/* What stands at the beginning; names and options may be NULL. */
struct app_choice {
    const char *procedure;
    enum board board;
    enum run_mode mode;
    bool pilot, resume;
    const char *wind;
    const struct load_choice *options;
};

void app_start(struct app *app, const struct app_world *world,
               const struct app_choice *choice);
void app_end(struct app *app);

/* One key.  TEXT: it comes from a paste and is text, never a command. */
void app_press(struct app *app, uint32_t key, bool text);

/* Ctrl-C: asks where a run is live, leaves otherwise. */
void app_interrupt(struct app *app);

/* Draws everything. */
void app_draw(struct app *app, struct canvas *canvas, int rows, int columns);

/* Rings once for a step that has become overdue, or for a call of the plan that nobody
 * has a hand free to mark. */
void app_ring(struct app *app);

/* A clock is running on the screen. */
bool app_is_live(const struct app *app);

/* For the screens: --------------------------------------------------------------- */

/* Takes WORDS for the wind where they are one (weather.h); the kit is loaded again by the
 * caller. */
enum weather_wrong app_take_wind(struct app *app, const char *words);
/* Loads the kit again for the choice that stands. */
void app_load_kit(struct app *app);
/* Makes the bill again for the pins that stand; moves by hand are gone. */
void app_make_bill(struct app *app);
/* Nobody is pinned any more. */
void app_unpin_all(struct app *app);

void app_go_to(struct app *app, const struct screen *screen);
void app_say(struct app *app, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Opens a run of the kit at the brief; false with a message where there is no bill. */
bool app_open_session(struct app *app);
/* Takes up the newest run that is still open. */
void app_resume(struct app *app);
/* Chooses procedure, board, mode and hands of the newest run. */
void app_same_again(struct app *app);
/* Stores an event and says what came of it; false where it was not taken. */
bool app_do(struct app *app, enum run_kind kind, int step, int value, const char *text);
/* Breaks the run off after MISHAP (-1: none) for REASON and goes on at once with BILL in
 * a linked run; takes ARENA (NULL: none), in which PROCEDURE and CREW may live. */
bool app_link(struct app *app, const struct procedure *procedure, const struct crew *crew,
              const struct bill *bill, int mishap, const char *reason,
              struct arena *arena);
/* Goes on without the hand of LANE, or says why that cannot be. */
void app_lose(struct app *app, int lane);
/* Opens the choice of what has happened and what fits the rig now. */
void app_recover(struct app *app);
/* Stops a run that never came past its brief, so that it is not what is taken up next;
 * what was answered stays in the logbook. */
void app_stop_brief(struct app *app);
/* The brief is of what was chosen at the muster, not of a run taken up. */
bool app_briefs_kit(const struct app *app);
/* Closes the run and goes to the bill it was opened with. */
void app_back_to_bill(struct app *app);
/* Closes the run and goes to the muster. */
void app_leave_session(struct app *app);

/* Keys that several screens share. */
void app_help(struct app *app);
void app_quit(struct app *app);
void app_line_up(struct app *app);
void app_line_down(struct app *app);
void app_page_up(struct app *app);
void app_page_down(struct app *app);

/* Milliseconds since the run was opened. */
int64_t app_now_ms(const struct app *app);

/* Nobody marks, and the calls are those of the plan. */
bool app_follows_plan(const struct app *app);

/* How a signal word is shown. */
enum style signal_style(enum signal signal);

/* The wind typed stands above the procedure's limits: SIGNAL_CAUTION from the one,
 * SIGNAL_WARNING from the other; SIGNAL_NONE. */
enum signal app_wind_signal(const struct app *app, const struct procedure *procedure);

/* Which limits of the sail the wind is above, where it is. */
void app_put_limits(const struct procedure *procedure, struct roll *roll);

#endif
