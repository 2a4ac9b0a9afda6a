/* The problem as the checker reads it, for itself. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_CHECK_FACTS_H
#define ELLWAND_CUTTING_CHECK_FACTS_H

#include "common/document.h"

struct fact_bar {
    const char *name; /* borrowed from the document */
    int64_t length, quantity /* -1: any number */, value;
    bool squared;
    const char *batch; /* NULL: one of its own */
    int64_t used;
};

struct fact_piece {
    const char *name;
    int64_t length, quantity;
    const char *match; /* NULL: none */
    int64_t cut, unmet;
};

struct facts {
    int64_t kerf, trim, clamp, longest_bar, shortest_piece;
    bool returns_any;
    int64_t usable, percent, places /* -1: any number */;
    size_t bar_count, piece_count;
    struct fact_bar *bars;
    struct fact_piece *pieces;
    json_t *bar_index, *piece_index; /* name to number */
    int64_t rate_value, rate_length; /* of a remainder's worth */
};

bool facts_read(const json_t *problem, struct facts *facts, struct fault *fault) MUST_CHECK;
void facts_free(struct facts *facts);

/* NULL when there is none of that name. */
struct fact_bar *facts_bar(const struct facts *facts, const char *name);
struct fact_piece *facts_piece(const struct facts *facts, const char *name);

/* What a remainder of this length is worth on the rack, in tenths, rounded down. */
int64_t facts_worth(const struct facts *facts, int64_t remainder);

/* The longest piece that some bar could give. */
int64_t facts_longest_piece(const struct facts *facts);

#endif
