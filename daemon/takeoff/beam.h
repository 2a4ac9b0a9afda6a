/* A continuous beam on unyielding supports with overhangs, under uniform loads on parts of it. Source:
 * Clapeyron's equation of three moments, as in any structural handbook. Units: mm, N, N/mm, N mm, N mm2.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_BEAM_H
#define ELLWAND_TAKEOFF_BEAM_H

#include <stdbool.h>
#include <stddef.h>

enum { BEAM_SUPPORTS = 128, BEAM_LOADS = 8 };

/* Downward, over from <= x <= to. */
struct beam_load {
    double from, to, intensity; /* N/mm */
};

struct beam {
    double length;                  /* x runs from 0 to here */
    double supports[BEAM_SUPPORTS]; /* rising, within 0..length */
    bool hinges[BEAM_SUPPORTS]; /* the beam is jointed over that support and hands no moment on; inner ones
                                   only */
    size_t support_count;       /* 2 or more */
    struct beam_load loads[BEAM_LOADS]; /* within 0..length; they may overlap */
    size_t load_count;
    double rigidity; /* E I; more than 0 */
};

struct beam_answer {
    double reactions[BEAM_SUPPORTS]; /* upward on the beam; negative where a support holds it down */
    double moments[BEAM_SUPPORTS];   /* over each support; negative: hogging */
    double moment;                   /* greatest magnitude anywhere */
    double sag, sag_at;              /* greatest deflection (its magnitude) and its place */
    double sag_part; /* greatest sag / span; an overhang counts as a span of twice its length */
};

/* Solves it exactly but for rounding: O(supports + loads). Two supports at least, in rising order, are the
 * caller's duty. */
void beam_solve(const struct beam *beam, struct beam_answer *answer);

#endif
