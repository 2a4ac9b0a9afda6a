/* The knapsack: which pattern on which bar is worth most at given prices.
 *
 * One table over piece types and room, built once for all classes of stock, tells the most that the types
 * from the i-th on can still add. Where the capacity is small the table is exact; otherwise widths are
 * rounded down to a grid, one row may stand for several types, and it is an upper bound. A depth-first search that never goes where the table rules
 * it out then finds the best pattern exactly. What goes back to the rack is a second knapsack: there each
 * piece also takes away the worth of its width.
 *
 * Values are integers or reals in doubles. Integers up to 2^53 stay exact, which is what the safe bound rests
 * on. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_PRICE_H
#define ELLWAND_CUTTING_PRICE_H

#include "cutting/scope.h"
#include "cutting/watch.h"

struct table {
    double *best; /* rows of cells, see table_most */
    double *value;
    double useless; /* types of this value or less are left out */
    size_t cells;
};

/* A type that a search may use: its copies, and what it and those after it, or those after it alone, can add. */
struct item {
    double value;
    int64_t width, most;
    const double *row, *next;
    int32_t type;
};

struct pricer {
    const struct scope *scope;
    struct watch *watch;
    int shift; /* a cell is 2^shift tenths */
    int fold;  /* a row stands for 2^fold types, the first one for `ahead` less */
    size_t rows, ahead;
    int64_t capacity; /* the largest of the classes that may be used */
    int64_t
        waste; /* a pattern that leaves more than this cannot be in a better plan; INT64_MAX: no such limit */
    size_t *cell_width;
    int64_t longest_pattern;  /* pieces on one bar at most */
    int64_t *most;            /* copies of a type on one bar */
    struct table scrap, back; /* nothing goes back; the remainder goes back */
    double unit;              /* value of one tenth of money at the prices given */
    double slope; /* value of one tenth of length on the rack, rounded down to an integer where values are */
    double lift;  /* what the slope may have lost per tenth */
    uint8_t *left_out; /* types not to be used; all 0 but for repeated searches */
    struct layout_part *stack;
    struct item *items; /* of the search at hand */
    int tables;         /* 2 where remainders can go back */
    size_t table_room;  /* of each, in cells */
};

/* Of the types from `type` on, the most that can be placed in `room` (types before it may count too, where a row stands
 * for several). */
static inline const double *table_most(const struct pricer *pricer, const struct table *table, size_t type,
                                       int64_t room) {
    return table->best + ((type + pricer->ahead) >> pricer->fold) * table->cells + (room >> pricer->shift);
}

/* What one will hold. */
size_t pricer_needs(const struct scope *scope);
/* False for want of memory. */
bool pricer_make(const struct scope *scope, struct watch *watch, struct pricer *pricer) MUST_CHECK;
void pricer_free(struct pricer *pricer);
size_t pricer_bytes(const struct pricer *pricer);

/* Sets the prices, one a type, in `unit`s a tenth. `whole`: all are integers and so shall be every sum. */
void pricer_set(struct pricer *pricer, const double *prices, double unit, bool whole);

struct priced {
    double value;              /* of the pieces, and of the remainder where it goes back */
    struct layout_part *parts; /* room for type_count; rising order */
    size_t part_count;
    bool exact; /* the search was not cut short: nothing is worth more */
};

/* The most that a pattern on this class could be worth, without search. */
double pricer_most(const struct pricer *pricer, int32_t stock, bool back);

/* The pattern of highest value above `floor`; part_count 0 when there is none. At most `steps` steps. With
 * `back` the remainder goes back to the rack and counts. */
void pricer_best(struct pricer *pricer, int32_t stock, bool back, double floor, int64_t steps,
                 struct priced *found);

/* Calls `take` for every pattern worth `floor` or more, until it answers false. False when it did, or when
 * `steps` ran out. */
typedef bool pricer_take(void *data, const struct layout_part *parts, size_t part_count);
bool pricer_list(struct pricer *pricer, int32_t stock, bool back, double floor, int64_t *steps,
                 pricer_take *take, void *data);

/* Whether a remainder of this class can go back at all. */
bool pricer_goes_back(const struct pricer *pricer, int32_t stock);

#endif
