/* Which things of an order go into which parcel, so that no parcel is longer, thicker or heavier than its carrier takes.
 * Pure: no input or output, no clock.
 *
 * A parcel is a tube or a box with one thing beside the other along its length: a thing fits when it is no longer than the
 * inside, no wider and higher than it, and when what lies there takes no more of its cross-section than the share that can
 * be filled. Things are never laid end to end. Lengths are tenths of a millimetre, masses grams, prices minor units.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PACKING_PACKING_H
#define ELLWAND_PACKING_PACKING_H

#include "common/fault.h"

#include <ellwand/length.h>
#include <stddef.h>
#include <stdint.h>

enum { PACKING_CODE = 24, PACKING_ITEMS = 2000, PACKING_WRAPS = 64 };

struct packing_item {
    ell_length length, width, height; /* 1 or more; wrapped */
    int64_t mass;                     /* 0 or more */
};

/* A tube or box as a carrier takes it. */
struct packing_wrap {
    char code[PACKING_CODE], carrier[PACKING_CODE];
    bool round;                       /* a tube: width and height are its inside diameter */
    ell_length length, width, height; /* inside */
    ell_length wall;                  /* what each side adds outside; 0 or more */
    int64_t mass;                     /* empty */
    int64_t heaviest;                 /* with what is in it, as the carrier allows; INT64_MAX for any */
    int64_t price;                    /* of wrap and carriage; 0 or more */
};

/* What a carrier takes. 0: no bound. */
struct packing_limits {
    ell_length longest; /* the longest side */
    ell_length around;  /* the longest side and the girth together */
    int64_t heaviest;
};

/* A share of the cross-section that can be filled with things of any shape, in percent. From experience: common practice,
 * no source. */
#define PACKING_FILL 80

/* The longest side outside, and the girth: twice width and height, or for a tube pi times the diameter, rounded up. */
ell_length packing_outside(const struct packing_wrap *wrap);
ell_length packing_girth(const struct packing_wrap *wrap);
/* Whether a carrier takes this wrap at all (its mass empty counts). */
bool packing_allowed(const struct packing_wrap *wrap, const struct packing_limits *limits);

struct packing_parcel {
    size_t wrap;  /* index */
    int64_t mass; /* with the wrap */
    ell_length longest;
    size_t count; /* of things */
};

struct packing {
    size_t count;
    struct packing_parcel *parcels; /* `count` of them */
    size_t *parcel_of;              /* for each item, the index of its parcel */
    int64_t price;                  /* of all */
    bool proven;                    /* nothing is cheaper, and for that price there are no fewer parcels */
};

/* Splits `item_count` (1 to PACKING_ITEMS) items into parcels, each of one of `wrap_count` (1 to PACKING_WRAPS) wraps, for the
 * least price and then the fewest parcels. The best is found and proven by branch and bound for what an order usually has
 * (some 12 things); beyond a bounded number of steps the best that was found is given. The same input gives the same
 * answer. The caller owns what *packing holds (packing_free).
 *
 * Faults: "out-of-range" with `where` "items[i].length" and the like; "fits-no-parcel" with `where` "items[i]" when no wrap
 * takes it alone; "out-of-memory". *packing is then untouched. */
bool packing_split(const struct packing_item *items, size_t item_count, const struct packing_wrap *wraps,
                   size_t wrap_count, struct packing *packing, struct fault *fault) MUST_CHECK;

void packing_free(struct packing *packing);

#endif
