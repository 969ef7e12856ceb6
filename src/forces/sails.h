/* Which sail for the wind: area and kind from measurements, and the boat's inventory held
 * against the wind as it is, sail by sail, with the reason for each that is refused.
 * Ranges are the boat file's own; where it gives none, the band of the sail's code is
 * taken (common practice) and said to be. */
#ifndef FORCES_SAILS_H
#define FORCES_SAILS_H

#include "forces/wind.h"
#include "model/boat.h"

enum { SAIL_REASONS_MAX = 12 };

/* What rating rules call a sail of these measurements. */
enum measured { MEASURED_NOT, MEASURED_HEADSAIL, MEASURED_SPINNAKER, MEASURED_NEITHER };

enum sail_reason_kind {
    REASON_TRUE_LIGHT, /* less true wind than it is for */
    REASON_TRUE_STRONG,
    REASON_GUST,
    REASON_TRUE_HIGH, /* a smaller true angle than it is for */
    REASON_TRUE_DEEP,
    REASON_APPARENT_LIGHT,
    REASON_APPARENT_STRONG,
    REASON_APPARENT_HIGH,
    REASON_APPARENT_DEEP,
    REASON_CLOTH, /* more apparent wind than the cloth is for */
    /* cautions: it fits all the same */
    REASON_CLOTH_NEAR,    /* the cloth is near its limit */
    REASON_CLOTH_STOPPED, /* more true wind than the cloth is for: felt when she stops */
    REASON_CAUTIONS = REASON_CLOTH_NEAR
};

struct sail_reason {
    enum sail_reason_kind kind;
    double is, limit; /* knots or degrees */
};

struct sail_verdict {
    const struct sail *sail;
    struct sail_reason reasons[SAIL_REASONS_MAX];
    uint8_t reason_count;
    bool fits;    /* nothing but cautions */
    bool by_code; /* some range is that of its code, not the file's */
};

/* The wind a sail is chosen for. */
struct sail_weather {
    struct wind true_wind, apparent;
    double gust_m_s; /* true; 0: not said */
};

/* The most wind a sail is for, in knots; 80, the most there may be, where nothing says
 * less. */
struct sail_most {
    double true_kn, apparent_kn;
    double cloth_near_kn, cloth_kn; /* apparent */
    bool by_code;                   /* the first two are those of its code */
};

struct sail_most sail_most_wind(const struct sail *sail);

/* Square metres: as said, else from luff, leech, foot and half width by Simpson's rule
 * (SLU + SLE) / 2 * (SFL + 4 SHW) / 6; 0 where neither is said. */
double sail_area_m2(const struct sail *sail);

/* Half width as a share of the foot; 0 where it is not measured. */
double sail_half_share(const struct sail *sail);

/* The headsail rule first: half width at most 75 % of the foot's perpendicular; else a
 * spinnaker has a half width of 75 % of the foot at least. */
enum measured sail_measured(const struct sail *sail);

/* The number of a code like "S2" or "A3", 0 to 6; -1 where it has none. */
int sail_code_number(const char *code);

/* Holds SAIL against WEATHER.  False, and OUT left alone, where that is no wind. */
bool sail_judge(const struct sail *sail, const struct sail_weather *weather,
                struct sail_verdict *out);

/* The verdict to take: the largest that fits without a caution, else the largest that
 * fits; -1 where none does. */
int sail_choose(const struct sail_verdict *verdicts, int count);

#endif
