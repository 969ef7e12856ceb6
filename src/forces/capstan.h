/* What turns on a winch do for the hand that holds the tail.  Pure functions.
 *
 * load = hold x exp(friction x angle), 2 pi a turn; the size of the drum does not matter
 * (Euler-Eytelwein).  Turns that touch each other hold less than this, so a count of
 * turns is reckoned with the least friction measured. */
#ifndef FORCES_CAPSTAN_H
#define FORCES_CAPSTAN_H

/* Rope on a sailing winch, turns not touching, as measured; 3.5 % either way. */
#define CAPSTAN_FRICTION       0.1765
#define CAPSTAN_FRICTION_LEAST (CAPSTAN_FRICTION * 0.965)

/* What one person can hold: in any posture and for long, and with both hands and the feet
 * braced for a short while. */
#define HAND_SUSTAINED_N 150.0
#define HAND_BRACED_N    350.0

/* Never less than one full turn, and four do for all but the largest yachts. */
enum { TURNS_LEAST = 1, TURNS_MOST = 4 };

/* What is left in the hand of LOAD_N behind TURNS on a winch.  A negative number, which
 * no hold is, for a load, friction (above 0 to 2) or number of turns (0 to 20) that makes
 * no sense. */
double capstan_hold_n(double load_n, double friction, double turns);

/* The fewest whole turns, TURNS_LEAST to TURNS_MOST, with which HOLD_N holds LOAD_N at
 * the least friction; 0 where a bare hand does it, -1 where TURNS_MOST do not or the
 * figures make no sense. */
int capstan_turns(double load_n, double hold_n);

/* How hard the handle of a winch of this power ratio goes; negative for nonsense. */
double winch_handle_n(double load_n, double power_ratio);

/* What a block pulls at its own fastening when the line through it turns by ANGLE_DEG, 0
 * to 180: twice the line's load where it turns right back.  Negative for nonsense. */
double block_load_n(double line_n, double angle_deg);

#endif
