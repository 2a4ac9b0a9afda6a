/* Prices of lengths and what bars are worth at them: what certificates are checked with.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHECK_PRICES_H
#define ELLWAND_CUTTING_CHECK_PRICES_H

#include "cutting/check/facts.h"

/* Beyond so many tenths of bar (2 km) a certificate is not checked but refused: the table would be too large. */
enum { PRICED_CELLS_MOST = 20000000 };

struct room {
    int64_t capacity; /* for the sum of length + kerf of all pieces */
    int64_t rest;     /* remainder = rest less that sum, never below 0 */
};

/* A length that stands in a certificate. */
struct priced_length {
    int64_t width, demand, price;
};

struct certificate {
    int64_t scale, place, waste;
    size_t count;
    struct priced_length *lengths;
};

/* Sets fault "bad-certificate"; false. */
bool prices_wrong(struct fault *fault, const char *message);

struct room prices_room(const struct facts *facts, const struct fact_bar *bar);
/* Whether the saw takes the bar, there is one, and it holds anything. */
bool prices_usable(const struct facts *facts, const struct fact_bar *bar);
/* The capacity of the roomiest usable bar. */
int64_t prices_widest(const struct facts *facts);

/* Pairs of length and price into certificate->lengths, which the caller frees, with no demand yet. */
bool prices_read(const struct facts *facts, const json_t *list, struct certificate *certificate,
                 struct fault *fault) MUST_CHECK;
/* NULL where the length has no price. */
struct priced_length *prices_find(const struct facts *facts, const struct certificate *certificate,
                                  int64_t length);

/* best[x], for x up to capacity: the most that pieces of total width exactly x can be priced, no more of a length than
 * its demand; -1: no pieces have that width. NULL for want of memory; the caller frees it. */
int64_t *prices_knapsack(const struct certificate *certificate, int64_t capacity);

/* The most that one such bar is worth beyond scale * value; 0 when it never is. */
__int128 prices_excess(const struct facts *facts, const struct certificate *certificate, const int64_t *best,
                       const struct fact_bar *bar);

#endif
