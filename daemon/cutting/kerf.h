/* What the saw takes: exact arithmetic in tenths of a millimetre.
 *
 * A bar is laid against the stop with its lead end first. The lead end is squared by one cut that costs
 * `lead_trim`, its own kerf included; an end already squared costs nothing. Pieces are then cut one after the
 * other, each followed by a kerf. The clamp holds the last `tail_clamp` of the bar, which can never be part
 * of a piece.
 *
 *   without a clamp:  sum l + (n-1) kerf <= L - trim     the last piece may end flush with the bar
 *   with a clamp:     sum (l + kerf) + clamp <= L - trim the last piece is always cut off
 *
 * Both are one rule, "sum of (l + kerf) <= capacity"; see kerf_capacity. What remains is never below zero: a
 * tail shorter than the kerf is blade dust. For every bar, to the tenth:
 *
 *   length = trim + sum of pieces + dust + remainder
 *
 * Source: geometry; that the lead trim includes its kerf is the convention of this house.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_KERF_H
#define ELLWAND_CUTTING_KERF_H

#include <ellwand/length.h>

struct cutting_saw {
    ell_length kerf;           /* width of the blade's cut, 0 or more */
    ell_length lead_trim;      /* taken off an end that is not square, its kerf included */
    ell_length tail_clamp;     /* what the clamp keeps; 0: no clamp */
    ell_length longest_bar;    /* longer bars do not fit; ELL_LENGTH_MAX: no limit */
    ell_length shortest_piece; /* shorter pieces cannot be held; 0: no limit */
};

/* Room for the sum of (length + kerf) of all pieces on a bar. Negative or small when nothing fits. */
ell_length kerf_capacity(const struct cutting_saw *saw, ell_length bar, bool squared);

/* What the bar has left for pieces and kerfs after squaring, the clamped part included. May be negative. */
ell_length kerf_usable(const struct cutting_saw *saw, ell_length bar, bool squared);

/* Where a bar's length goes. */
struct kerf_account {
    int64_t cuts;         /* kerfs made after squaring; one less than pieces when the last ends flush */
    ell_length trim;      /* taken to square the lead end */
    ell_length dust;      /* lost in those kerfs; the last one may run out at the bar's end */
    ell_length remainder; /* what lies on the saw afterwards, clamped part included */
};

/* The account of `pieces` pieces of total length `sum` (without kerfs), which must fit. */
struct kerf_account kerf_settle(const struct cutting_saw *saw, ell_length bar, bool squared, ell_length sum,
                                int64_t pieces);

#endif
