/* What is reckoned of one thing that is bought: from the row of the statement reorder/demand to a quantity and the stock to
 * come. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_RECKONING_H
#define ELLWAND_DESK_RECKONING_H

#include "desk/reordering.h"
#include "replenish/project.h"
#include "replenish/replenish.h"

enum { TENTHS_OF_A_METRE = 10000 };

/* Quantities in the thing's own unit: pieces, bars, or tenths of a millimetre. */
struct reckoning {
    const json_t *row;
    double service;
    struct reorder reorder;
    double on_hand, on_order;
    double hard, soft; /* wanted by orders whose track is released; by others */
    /* Of what is on hand, less where free rests of reels are too short for some of what is asked for: so many are shorter
     * than the longest piece. */
    double usable, longest;
    size_t short_rests;
    int64_t position, buy; /* position: usable and on order, less what is wanted */
    double price;          /* of one (or a metre) at that quantity, minor units; 0 when not known */
    bool for_price;        /* more is bought because it then costs less */
    bool on_a_guess;       /* less than the economic quantity is bought, for the history is short */
    struct project_week weeks[PROJECT_WEEKS];
    size_t week_count;
    struct project project;
};

/* `weeks` 1 to PROJECT_WEEKS. The row is borrowed for as long as the reckoning lives. */
bool reckon(const json_t *row, const struct reordering *practice, size_t weeks, struct reckoning *made,
            struct fault *fault) MUST_CHECK;

/* One sentence or more that give every figure it comes from. Freed by the caller; NULL for want of memory. */
char *reckoning_why(const struct reckoning *reckoning);

/* Of a row: 0 and "" when the field is absent or null. */
double row_number(const json_t *row, const char *name);
const char *row_text(const json_t *row, const char *name);
bool row_by_length(const json_t *row);
/* The Monday `ahead` weeks after the row's this_week. */
void row_week(const json_t *row, size_t ahead, char text[11]);

#endif
