/* The bill changed by hand: who wears which role, and in which order a hand does its
 * steps; each change is tried at once and says what it costs or why it cannot be. */
#include "screens/app.h"

#include "base/text.h"
#include "bill/bill_move.h"
#include "cards/sheets.h"
#include "cards/words.h"

#include <string.h>

enum { TIME_COLUMNS = 8, ROLE_COLUMNS = 13, NAME_COLUMNS = 13, INDENT = 2 };

/* What a line is about: a role (lane -1), or a step on the card of a lane (role -1). */
struct item {
    int role, lane, step;
};

enum { ITEMS_MAX = ROLES_MAX + STEPS_MAX * 2 };

static int add_cards(const struct kit *kit, struct item *out, int count)
{
    struct rig rig;
    bill_rig(&kit->bill, kit->procedure, &rig);
    for (int lane = 0; lane < kit->bill.lane_count; lane++)
        for (int i = 0; i < kit->bill.slot_count && count < ITEMS_MAX; i++)
            if (rig.lanes_of_step[kit->bill.slots[i].step] >> lane & 1)
                out[count++] = (struct item){-1, lane, kit->bill.slots[i].step};
    return count;
}

static int list_items(const struct kit *kit, struct item out[ITEMS_MAX])
{
    int count = 0;
    for (int role = 0; role < kit->procedure->plan->role_count; role++)
        if (rig_role_needed(kit->procedure, role, kit->wish.pilot))
            out[count++] = (struct item){role, -1, -1};
    return kit->verdict == BILL_FOUND ? add_cards(kit, out, count) : count;
}

static struct item chosen(const struct app *app)
{
    struct item items[ITEMS_MAX];
    int count = list_items(&app->kit, items);
    return items[app->line < count ? app->line : count - 1];
}

static void move_line(struct app *app, int by)
{
    struct item items[ITEMS_MAX];
    int count = list_items(&app->kit, items), line = app->line + by;
    app->line = line < 0 ? 0 : line < count ? line : count - 1;
    text_free(&app->kit.refused);
    app->scroll.first = 0; /* what is chosen is kept in sight */
}

static void up(struct app *app)
{
    move_line(app, -1);
}

static void down(struct app *app)
{
    move_line(app, 1);
}

/* The first line of the next card; behind the last one the roles. */
static void next_card(struct app *app)
{
    struct item items[ITEMS_MAX];
    int count = list_items(&app->kit, items), line = app->line;
    while (line < count && items[line].lane == chosen(app).lane)
        line++;
    move_line(app, (line < count ? line : 0) - app->line);
}

/* The role of a line: of a step the one its hand does it in. */
static int role_of(const struct kit *kit, struct item item)
{
    if (item.role >= 0)
        return item.role;
    role_set roles = kit->procedure->steps[item.step].roles & kit->bill.wears[item.lane];
    int role = 0;
    while (!(roles >> role & 1))
        role++;
    return role;
}

/* The hand pinned to ROLE, or who wears it; -1 where there is no bill. */
static int wearer(const struct kit *kit, int role)
{
    if (kit->wish.hand_of_role[role] >= 0 || kit->verdict != BILL_FOUND)
        return kit->wish.hand_of_role[role];
    for (int lane = 0; lane < kit->bill.lane_count; lane++)
        if (kit->bill.wears[lane] >> role & 1)
            return kit->bill.hand[lane];
    return -1;
}

/* The selection goes where its step now stands. */
static void follow(struct app *app, struct item item)
{
    struct item items[ITEMS_MAX];
    int count = list_items(&app->kit, items);
    for (int i = 0; i < count; i++)
        if (items[i].role == item.role && items[i].step == item.step &&
            (items[i].lane == item.lane || item.lane < 0)) {
            app->line = i;
            return;
        }
    app->line = app->line < count ? app->line : count - 1;
}

static void pin(struct app *app, int role, int hand)
{
    struct item item = chosen(app);
    bool was_moved = app->kit.moved;
    app->pinned[role] = (int8_t)hand;
    app_make_bill(app);
    for (int lane = 0; item.step >= 0 && lane < app->kit.bill.lane_count; lane++)
        if (app->kit.bill.wears[lane] >> role & 1)
            item.lane = lane;
    follow(app, item);
    if (was_moved)
        app_say(app, "A new bill: the steps moved by hand stand in its order again.");
}

/* The next hand aboard, around the crew. */
static void turn_hand(struct app *app, int by)
{
    const struct crew *crew = &app->kit.crew;
    int role = role_of(&app->kit, chosen(app)), count = crew->hand_count;
    int hand = wearer(&app->kit, role);
    for (int tries = 0; tries < count; tries++) {
        hand = hand < 0 ? (by > 0 ? 0 : count - 1) : (hand + by + count) % count;
        if (crew->hands[hand].aboard) {
            pin(app, role, hand);
            return;
        }
    }
}

static void say_moved(struct app *app, int32_t more_ms)
{
    struct text text = {0};
    sheet_cost(more_ms, &text);
    app_say(app, "Moved: %s.", text.at);
    text_free(&text);
}

static void move_step(struct app *app, struct item item, bool later)
{
    struct kit *kit = &app->kit;
    struct bill moved;
    text_free(&kit->refused);
    if (!bill_move(&kit->bill, kit->procedure, &kit->crew, &kit->wish, item.lane,
                   item.step, later, &moved, &kit->refused))
        return;
    say_moved(app, moved.total_ms - kit->bill.total_ms);
    kit->bill = moved;
    kit->moved = true;
    text_free(&kit->proof);
    follow(app, item);
}

static void change(struct app *app, int by)
{
    struct item item = chosen(app);
    if (item.role >= 0)
        turn_hand(app, by);
    else
        move_step(app, item, by > 0);
}

static void left(struct app *app)
{
    change(app, -1);
}

static void right(struct app *app)
{
    change(app, 1);
}

static void other_hand(struct app *app)
{
    turn_hand(app, 1);
}

/* Pins who wears the role, or takes the pin off. */
static void turn_pin(struct app *app)
{
    int role = role_of(&app->kit, chosen(app));
    pin(app, role, app->kit.wish.hand_of_role[role] >= 0 ? -1 : wearer(&app->kit, role));
}

static void free_all(struct app *app)
{
    struct item item = chosen(app);
    app_unpin_all(app);
    app_make_bill(app);
    follow(app, item);
    app_say(app, "Nobody is pinned and nothing moved: the bill as it was found.");
}

static void go_brief(struct app *app)
{
    if (app_open_session(app))
        app_go_to(app, &brief_screen);
}

static void back(struct app *app)
{
    app_go_to(app, &muster_screen);
}

static const struct key_entry keys[] = {
    {{PRESS_ENTER}, "Enter", "brief", "brief the crew for this bill", go_brief},
    {{PRESS_LEFT},
     "Left Right",
     "change",
     "of a role: another hand, pinned; of a step: earlier, later",
     left},
    {{PRESS_RIGHT}, NULL, NULL, NULL, right},
    {{PRESS_SPACE},
     "Space",
     "pin",
     "pin the hand to the role, or take the pin off",
     turn_pin},
    {{'h'}, "H", "other hand", "the role of this step goes to another hand", other_hand},
    {{'x'}, "X", "free", "take all pins off and all moves back", free_all},
    {{PRESS_TAB},
     "Tab",
     "next card",
     "the card of the next hand, and the roles again",
     next_card},
    {{PRESS_ESCAPE, 'm'}, "Esc", "muster", "back to the muster", back},
    {{PRESS_UP}, "Up Down", NULL, "the line above or below", up},
    {{PRESS_DOWN}, NULL, NULL, NULL, down},
    {{'q'}, "Q", NULL, "leave foreguy", app_quit},
    {{'?'}, "?", NULL, "this help", app_help},
    {{0}, NULL, NULL, NULL, NULL}};

static const char *hint(const struct app *app, const struct key_entry *entry)
{
    struct item item = chosen(app);
    bool pinned = app->kit.wish.hand_of_role[role_of(&app->kit, item)] >= 0;
    if (entry->act == left)
        return item.role >= 0 ? "other hand" : "earlier, later";
    if (entry->act == other_hand && item.role >= 0)
        return NULL;
    if (entry->act == turn_pin)
        return pinned                                            ? "take pin off"
               : wearer(&app->kit, role_of(&app->kit, item)) < 0 ? NULL
                                                                 : "pin";
    if (entry->act == free_all && !app->kit.moved && !bill_pinned(&app->kit.wish))
        return NULL;
    if (entry->act == go_brief && app->kit.verdict != BILL_FOUND)
        return NULL;
    return entry->label;
}

static void put_mark(struct roll *roll, int row, bool here)
{
    canvas_put(roll->canvas, row, roll->area.column, STYLE_PLAIN, here ? ">" : " ");
}

/* What the crew file says of the hand in the role. */
static const char *grade_words(const struct kit *kit, int hand, int role)
{
    const char *name = kit->procedure->plan->roles[role].name;
    enum grade grade = hand_grade(&kit->crew.hands[hand], name);
    return grade == GRADE_NONE ? "not known" : grade_name(grade);
}

static void put_role(const struct kit *kit, struct roll *roll, int role, bool here)
{
    int row = roll_line(roll), column = roll->area.column + INDENT;
    int hand = wearer(kit, role);
    enum style style = here ? STYLE_SELECTED : STYLE_PLAIN;
    bool pinned = kit->wish.hand_of_role[role] >= 0;
    put_mark(roll, row, here);
    canvas_put_cut(roll->canvas, row, column, ROLE_COLUMNS - 1, style,
                   kit->procedure->plan->roles[role].words);
    column += ROLE_COLUMNS;
    canvas_put_cut(roll->canvas, row, column, NAME_COLUMNS - 1, STYLE_STRONG,
                   hand < 0 ? "?" : kit->crew.hands[hand].name);
    column += NAME_COLUMNS;
    struct text text = {0};
    text_add(&text, kit->pins.clash >> role & 1 ? "CLASHES, " : pinned ? "PINNED, " : "");
    if (hand >= 0)
        text_add(&text, grade_words(kit, hand, role));
    canvas_put_cut(roll->canvas, row, column,
                   roll->area.column + roll->area.columns - column, STYLE_PLAIN,
                   text.at ? text.at : "");
    text_free(&text);
}

static void put_step(const struct kit *kit, struct roll *roll, int step, bool here)
{
    int row = roll_line(roll);
    struct text start = {0}, words = {0};
    put_mark(roll, row, here);
    text_add_seconds(&start, bill_slot_of(&kit->bill, step)->start_ms);
    canvas_put_right(roll->canvas, row, roll->area.column + INDENT, TIME_COLUMNS - 2,
                     STYLE_PLAIN, start.at);
    words_step(kit->procedure, step, &words);
    canvas_put_cut(roll->canvas, row, roll->area.column + INDENT + TIME_COLUMNS,
                   roll->area.columns - INDENT - TIME_COLUMNS,
                   here ? STYLE_SELECTED : STYLE_PLAIN, words.at);
    text_free(&start);
    text_free(&words);
}

static void put_hand(const struct kit *kit, struct roll *roll, int lane)
{
    struct text text = {0};
    text_printf(&text, "%s: ", kit->crew.hands[kit->bill.hand[lane]].name);
    words_roles(kit->procedure->plan, kit->bill.wears[lane], &text);
    roll_wrap(roll, 0, STYLE_STRONG, text.at);
    text_free(&text);
}

static void fill(const struct app *app, struct roll *roll)
{
    struct item items[ITEMS_MAX];
    int count = list_items(&app->kit, items), lane = -1;
    roll_head(roll, "ROLES");
    for (int i = 0; i < count; i++) {
        bool here = i == app->line;
        if (items[i].role < 0 && lane < 0)
            roll_head(roll, "CARDS, with the second each step is planned to begin");
        if (items[i].role < 0 && items[i].lane != lane)
            put_hand(&app->kit, roll, lane = items[i].lane);
        if (here)
            roll->keep_from = roll->count ? roll->count - 1 : 0; /* and whose it is */
        if (items[i].role >= 0)
            put_role(&app->kit, roll, items[i].role, here);
        else
            put_step(&app->kit, roll, items[i].step, here);
        if (here)
            roll->keep_to = roll->count;
    }
}

static void add_changes(const struct kit *kit, struct text *out)
{
    if (kit->pinned.at && !kit->moved)
        text_add(out, kit->pinned.at);
    if (!kit->moved)
        return;
    text_add(out, "Changed by hand");
    if (kit->pins.free_verdict != BILL_FOUND) {
        text_add(out, ". ");
        return;
    }
    text_add(out, ": ");
    sheet_cost(kit->bill.total_ms - kit->pins.free.total_ms, out);
    text_add(out, " against ");
    text_add_seconds(out, kit->pins.free.total_ms);
    text_add(out, " s as found. ");
}

/* How long it takes, whether that is proved, what the changes cost; what vet says comes
 * first where it is not safe. */
static void add_state(const struct kit *kit, bool safe, struct text *out)
{
    bool found = kit->verdict == BILL_FOUND;
    if (found && !safe)
        text_printf(out, "NOT PROVED SAFE: %s. ", kit->proof.at);
    if (found) {
        text_add(out, "Planned ");
        text_add_seconds(out, kit->bill.total_ms);
        text_add(out, " s, ");
        sheet_bill_proof(&kit->bill, out);
        text_add(out, bill_pinned(&kit->wish) ? " with these pins. " : ". ");
    }
    add_changes(kit, out);
    if (kit->trouble.at)
        text_add(out, kit->trouble.at);
    if (safe)
        text_printf(out, "Vetted: %s.", kit->proof.at);
}

/* Vet looks at each bill once; true where there is one and it is safe. */
static bool ask_vet(struct kit *kit)
{
    if (kit->verdict == BILL_FOUND && !kit->proof.at)
        session_prove(kit->procedure, &kit->bill, &kit->proof);
    return kit->verdict == BILL_FOUND && strncmp(kit->proof.at, "safe ", 5) == 0;
}

/* Draws what there is to say above the list, in half of AREA at most. */
static int draw_state(struct app *app, struct canvas *canvas, struct area area)
{
    struct text text = {0};
    bool safe = ask_vet(&app->kit);
    area.rows /= 2;
    if (app->kit.refused.at)
        text_printf(&text, "NOT TAKEN. %s", app->kit.refused.at);
    else
        add_state(&app->kit, safe, &text);
    int used = canvas_wrap(canvas, area,
                           safe && !app->kit.refused.at ? STYLE_STRONG : STYLE_WARNING,
                           text.at ? text.at : "");
    text_free(&text);
    return used;
}

static void draw(struct app *app, struct canvas *canvas, struct area area)
{
    struct area inside = {area.row, 1, area.rows, area.columns - 2};
    int used = draw_state(app, canvas, inside);
    inside.row += used;
    inside.rows -= used;
    scroll_draw(&app->scroll, canvas, inside, fill, app);
}

static void tell(const struct app *app, struct text *out)
{
    text_printf(out, "%s, %s tack", app->kit.procedure->title,
                board_name(app->kit.procedure->board));
}

const struct screen bill_screen = {"Bill by hand", keys, draw, tell, NULL, hint};
