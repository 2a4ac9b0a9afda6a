/* Stock of what is cut in one length from one reel: the rest of a reel is stock only for pieces that are no longer than it.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_REPLENISH_REEL_H
#define ELLWAND_REPLENISH_REEL_H

#include <stddef.h>

/* Pieces that orders called for. Lengths in any unit, the same for rests; above 0 to 1e12, as `pieces` are. */
struct cut_length {
    double length, pieces;
};

/* What a rest counts for: its length times the share of the demand, by length asked for, in pieces that it is long enough for.
 * So a rest shorter than every piece counts for nothing, and one no shorter than the longest piece in full; where nobody ever
 * asked for a piece, all counts. `asked` in any order, `count` may be 0. A rule of thumb, our own: what is cut from the rest of a
 * long reel at its end is not foreseen. */
double reel_serves(double rest, const struct cut_length *asked, size_t count);

/* The longest piece; 0 where there is none. */
double reel_longest(const struct cut_length *asked, size_t count);

#endif
