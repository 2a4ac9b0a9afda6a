/* Rounds of pricing: which patterns are missing in the program, and what its prices prove.
 *
 * Where the program has many types, its prices stray from round to round. They are then asked between those of the
 * program and those that gave the best bound so far (Wentges 1997). SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_PRICING_H
#define ELLWAND_CUTTING_PRICING_H

#include "cutting/master.h"

struct pricing {
    struct master *master;
    struct pricer pricer;
    struct priced found;
    struct layout_part *plain;
    int64_t *counts;
    bool steady;    /* asks between */
    double *asked;  /* of each row, in the program's money: the prices of the last round */
    double *prices; /* of each type, in tenths, from `asked` */
    double *centre; /* of each row: those of the best bound */
    double bound;   /* at `centre`, in tenths, as near as doubles get; -HUGE_VAL: none yet */
    double last;    /* the bound at `asked`; -HUGE_VAL where not all classes were looked at */
    size_t turn;    /* the class that is priced first */
    /* of the round at hand */
    double share; /* of the pieces' prices, for which no unlimited bar is worth more than it costs */
    double over;  /* what all limited bars together are worth beyond their cost */
    double over_one;
    bool exact; /* every knapsack was searched to its end */
    size_t improving;
};

/* False for want of memory; pricing_free also then. */
bool pricing_make(struct master *master, struct pricing *pricing) MUST_CHECK;
void pricing_free(struct pricing *pricing);

/* After the program was solved: adds patterns that improve it. Returns their number; 0: there are none. */
size_t pricing_round(struct pricing *pricing);

/* After no pattern was missing: the mean of the prices of programs that ask for a little less of each type, each time
 * another bit, takes the place of the last and of the best prices. Where many prices prove the same bound, one corner of
 * them rules out few patterns; their middle rules out what any of those corners does (a solution within the optimal face
 * is strictly complementary: Goldman, Tucker 1956). The engine's seed chooses the bits. False when it was cut short;
 * nothing takes their place then. */
bool pricing_centre(struct pricing *pricing);

/* The safe bound at the prices of the last round, or of the best one. */
int64_t pricing_prove(struct pricing *pricing, bool best, struct cutting_certificate *certificate);

/* Prices of the types and of a place, in tenths, from row prices. */
void pricing_read(const struct master *master, const double *rows, double *prices, double *place);

#endif
