/* Which offcuts are likely to serve again, from what was cut in the past: for those of one track system in one finish.
 *
 * Pieces of each length come at random at the pace at which they came (Poisson). A piece is cut from an offcut only if the
 * planner would rather do that than open a bar: when what then remains goes back on the rack, or when the offcut, valued as the
 * planner values it, is worth no more than the bar that the piece would use up, at the yield reached. Offcuts share the demand:
 * the shorter one, of which less is lost, is asked first, and what it does not take goes on to the longer ones. So with a demand
 * of A fitting pieces that get as far as an offcut, it serves with the chance 1 - exp(-A), and takes that many of them. (Own
 * model; tests/unit/replenish/test_clear_out.c holds it against a simulation.)
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_REPLENISH_CLEAR_OUT_H
#define ELLWAND_REPLENISH_CLEAR_OUT_H

#include "common/fault.h"

#include <ellwand/length.h>
#include <stddef.h>

enum { CLEAR_OUT_MOST = 20000 };

struct clear_piece {
    ell_length length;
    double weekly; /* pieces of that length a week */
    bool paired;   /* of a track in several pieces, which want one finish batch */
};

struct clear_offcut {
    ell_length length; /* that a piece may take: without a trim still to be cut off */
    bool mates;        /* more of its batch lies there, so that a paired piece may come from it */
    double demand;     /* reckoned: fitting pieces in the time asked for that shorter offcuts leave it */
    double chance;     /* reckoned: of serving in that time */
};

struct clear_rules {
    double weeks;       /* the time asked for, above 0 to 520 */
    ell_length kerf;    /* of a cut */
    ell_length usable;  /* remainders from this length on go back on the rack */
    double value_share; /* what an offcut is worth to the planner of its length in a new bar, 0 to 1 */
    double yield;       /* reached with bars, above 0 to 1 */
};

/* Whether the planner would cut a piece of that length from an offcut of this one. */
bool clear_out_fits(ell_length piece, ell_length offcut, const struct clear_rules *rules);

/* Fills `demand` and `chance` of the offcuts, whose order stays as it is. At most CLEAR_OUT_MOST of both kinds. Faults:
 * "out-of-range" with the input's name, "out-of-memory"; then nothing is changed. */
bool clear_out_compute(const struct clear_piece *pieces, size_t piece_count, struct clear_offcut *offcuts,
                       size_t offcut_count, const struct clear_rules *rules, struct fault *fault) MUST_CHECK;

#endif
