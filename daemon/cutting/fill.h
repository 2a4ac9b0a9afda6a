/* Filling one bar from what is still wanted. A pattern is parts with counts, longest type first.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_FILL_H
#define ELLWAND_CUTTING_FILL_H

#include "cutting/layout.h"

struct fill {
    struct layout_part *parts; /* room for 2 * type_count: the second half is the search's own */
    size_t part_count;
    int64_t width; /* sum of widths */
};

/* The longest that fits, again and again. */
void fill_longest(const struct model *model, struct residue *residue, int32_t stock, struct fill *fill);

/* The fill that leaves least, among those that hold the longest piece that fits; `steps` bounds the search,
 * after which the best so far stands. Gupta, Ho 1999; Fleszar, Hindi 2002. */
void fill_least_slack(const struct model *model, struct residue *residue, int32_t stock, int64_t steps,
                      struct fill *fill);

/* A type that is wanted, as a search by price sees it. */
struct fill_item {
    double price, ratio;              /* ratio: price per width */
    int64_t width, demand, narrowest; /* the last: of this one and those after it */
    int32_t type;
};

/* The types that are wanted, at `price` (one number a type), in `order` (types by price per width, best first); `items`: room
 * for type_count + 1. */
void fill_list(const struct model *model, const struct residue *residue, const double *price,
               const int32_t *order, struct fill_item *items);

/* The fill of highest total price among listed items, by depth-first search with at most `steps` steps. */
void fill_dearest(const struct model *model, const struct fill_item *items, int32_t stock, int64_t steps,
                  struct fill *fill);

#endif
