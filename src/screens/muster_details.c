#include "screens/muster_parts.h"

#include "base/text.h"
#include "cards/sheet_loads.h"
#include "cards/words.h"

int muster_count_aboard(const struct app *app)
{
    int count = 0;
    for (int h = 0; h < app->kit.crew.hand_count; h++)
        count += app->aboard[h];
    return count;
}

void muster_add_knows(const struct hand *hand, struct text *out)
{
    for (int grade = GRADE_SURE; grade > GRADE_NONE; grade--)
        for (int k = 0; k < hand->knows_count; k++)
            if ((int)hand->knows[k].grade == grade)
                text_printf(out, " %s%s", hand->knows[k].role,
                            grade == GRADE_SURE  ? "*"
                            : grade == GRADE_NEW ? "(new)"
                                                 : "");
}

static void put_fit(const struct app *app, struct roll *roll)
{
    const struct kit *kit = &app->kit;
    if (kit->procedure && kit->verdict == BILL_FOUND) {
        struct text fit = {0};
        text_printf(&fit, "%s: these hands can do it. Planned ", kit->procedure->title);
        text_add_seconds(&fit, kit->bill.total_ms);
        text_printf(&fit, " s, %d of %d hands busy.", kit->bill.lane_count,
                    muster_count_aboard(app));
        roll_wrap(roll, 0, STYLE_PLAIN, fit.at);
        text_free(&fit);
    }
    if (kit->pinned.at)
        roll_wrap(roll, 0, STYLE_STRONG, kit->pinned.at);
    if (kit->trouble.at)
        roll_wrap(roll, 0, kit->verdict == BILL_FOUND ? STYLE_PLAIN : STYLE_STRONG,
                  kit->trouble.at);
}

static void put_wind(const struct app *app, struct roll *roll)
{
    struct text text = {0};
    enum signal signal = app_wind_signal(app, app->kit.procedure);
    if (signal)
        text_printf(&text, "%s %.4g kn true: caution from %.0f, not above %.0f kn.",
                    signal_name(signal), weather_limit_kn(&app->weather),
                    app->kit.procedure->caution_kn, app->kit.procedure->stop_kn);
    else if (app->weather.is_said)
        text_printf(&text, "True wind %.4g kn.", app->weather.true_kn);
    else
        text_add(&text, "True wind ? kn.");
    if (!signal)
        text_printf(&text, " Steering: %s.", app->pilot ? "pilot" : "by hand");
    roll_wrap(roll, 0, signal_style(signal), text.at);
    text_free(&text);
}

/* What the wind makes of the hands' work, where it makes a difference. */
static void put_loads(const struct procedure *procedure, struct roll *roll)
{
    struct text text = {0};
    if (procedure->loads)
        sheet_loads_steps(procedure, &text);
    if (text.at)
        roll_wrap(roll, 0, procedure->loads->too_much ? STYLE_WARNING : STYLE_PLAIN,
                  text.at);
    text_free(&text);
}

static void put_suits(const struct procedure *procedure, struct roll *roll)
{
    struct text text = {0};
    roll_wrap(roll, 0, STYLE_PLAIN, procedure->about);
    text_printf(&text, "%d hands at least, %d as a rule.", procedure->hands_least,
                procedure->hands_usual);
    if (procedure->caution_kn > 0)
        text_printf(&text, " Caution from %.0f kn true wind, not above %.0f kn.",
                    procedure->caution_kn, procedure->stop_kn);
    roll_wrap(roll, 0, STYLE_PLAIN, text.at);
    text_free(&text);
}

static void put_options(const struct procedure *procedure, struct roll *roll)
{
    if (procedure->option_count)
        roll_head(roll, "OPTIONS");
    for (int i = 0; i < procedure->option_count; i++) {
        struct text text = {0};
        text_printf(&text, "%s %s: %s", procedure->options[i].on ? "[x]" : "[ ]",
                    procedure->options[i].name, procedure->options[i].words);
        roll_wrap(roll, 0, STYLE_PLAIN, text.at);
        text_free(&text);
    }
}

static void put_who(const struct kit *kit, struct roll *roll)
{
    if (kit->verdict != BILL_FOUND)
        return;
    roll_head(roll, "WHO DOES WHAT");
    for (int lane = 0; lane < kit->bill.lane_count; lane++) {
        struct text text = {0};
        text_printf(&text, "%s: ", kit->crew.hands[kit->bill.hand[lane]].name);
        words_roles(kit->procedure->plan, kit->bill.wears[lane], &text);
        roll_wrap(roll, 0, STYLE_PLAIN, text.at);
        text_free(&text);
    }
}

static void put_hands(const struct app *app, struct roll *roll)
{
    roll_head(roll, "HANDS AND WHAT THEY KNOW  (* sure)");
    for (int h = 0; h < app->kit.crew.hand_count; h++) {
        const struct hand *hand = &app->kit.crew.hands[h];
        struct text text = {0};
        text_printf(&text, "%s%s:", hand->name, hand->aboard ? "" : ", ashore");
        muster_add_knows(hand, &text);
        roll_wrap(roll, 0, STYLE_PLAIN, text.at);
        text_free(&text);
    }
}

void muster_fill(const struct app *app, struct roll *roll)
{
    const struct procedure *procedure = app->kit.procedure;
    bool warns = procedure && app_wind_signal(app, procedure) != SIGNAL_NONE;
    if (warns)
        put_wind(app, roll);
    if (procedure)
        app_put_limits(procedure, roll);
    put_fit(app, roll);
    if (procedure && !warns)
        put_wind(app, roll);
    muster_put_apparent(app, roll);
    muster_put_sails(app, roll);
    if (procedure) {
        put_loads(procedure, roll);
        put_suits(procedure, roll);
        put_options(procedure, roll);
        put_who(&app->kit, roll);
    }
    put_hands(app, roll);
}
