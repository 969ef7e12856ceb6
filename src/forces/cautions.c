#include "forces/cautions.h"

#include <assert.h>
#include <math.h>

static const struct caution cautions[] = {
    {SIGNAL_WARNING,
     {{MEASURE_TRUE_DEG, 165, false}, {MEASURE_TRUE_KN, 15, false}},
     "So deep in this wind she rolls, to windward first, and may round down.",
     "Come up to a broad reach, 10 to 20 deg; ease the pole forward, foreguy hard down; "
     "oversheet, tweakers down; vang on; weight low, aft and in the middle."},
    {SIGNAL_WARNING,
     {{MEASURE_TRUE_DEG, 170, false}, {MEASURE_NONE, 0, false}},
     "A small swing puts her by the lee, and the boom comes across unasked.",
     "Heads down; preventer on until the jibe is called; sail no deeper."},
    {SIGNAL_WARNING,
     {{MEASURE_APPARENT_DEG, 110, true}, {MEASURE_APPARENT_KN, 15, false}},
     "With the wind so far forward the kite heels her and turns her up: a broach.",
     "Vang in a hand, to go first; sheet in a hand; bear away in the gusts; weight to "
     "windward and aft; shorten sail."},
    {SIGNAL_CAUTION,
     {{MEASURE_HALF_PULL, 2, false}, {MEASURE_NONE, 0, false}},
     "The pull that is gone while she is fast comes back when she stops surfing.",
     "Keep her moving; ease the sheet as she digs in; choose sail and hands by that "
     "pull."},
    {SIGNAL_CAUTION,
     {{MEASURE_GUST_PULL, 2, false}, {MEASURE_NONE, 0, false}},
     "A gust doubles the pull.",
     "Decide by the gust, not by the mean: a smaller kite, or down with it between two "
     "of them."},
    {SIGNAL_CAUTION,
     {{MEASURE_TRUE_KN, 17, false}, {MEASURE_NONE, 0, false}},
     "White crests everywhere: short-handed crews have it down by now.",
     "Shorten sail while it is easy."},
};

enum { CAUTION_COUNT = sizeof cautions / sizeof *cautions };
_Static_assert(sizeof cautions / sizeof *cautions <= CAUTIONS_MAX,
               "all of them may apply");

double caution_measured(enum caution_measure measure, struct wind true_wind,
                        const struct outlook *outlook)
{
    switch (measure) {
    case MEASURE_TRUE_KN:
        return true_wind.speed_m_s / WIND_KNOT_M_S;
    case MEASURE_TRUE_DEG:
        return fabs(true_wind.angle_deg);
    case MEASURE_APPARENT_KN:
        return outlook->now.speed_m_s / WIND_KNOT_M_S;
    case MEASURE_APPARENT_DEG:
        return fabs(outlook->now.angle_deg);
    case MEASURE_HALF_PULL:
        return outlook->half_pull;
    case MEASURE_GUST_PULL:
        return outlook->gust_pull;
    case MEASURE_NONE:
        break;
    }
    assert(!"a measure");
    return 0;
}

static bool applies(const struct caution *caution, struct wind true_wind,
                    const struct outlook *outlook)
{
    for (int i = 0; i < CAUTION_FIGURES; i++) {
        const struct caution_figure *figure = &caution->figures[i];
        if (figure->measure == MEASURE_NONE)
            continue;
        double is = caution_measured(figure->measure, true_wind, outlook);
        if (figure->up_to ? is > figure->at : is < figure->at)
            return false;
    }
    return true;
}

int cautions_find(struct wind true_wind, const struct outlook *outlook,
                  const struct caution *out[CAUTIONS_MAX])
{
    int count = 0;
    for (int i = 0; i < CAUTION_COUNT; i++)
        if (applies(&cautions[i], true_wind, outlook))
            out[count++] = &cautions[i];
    return count;
}
