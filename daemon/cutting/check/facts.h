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
    const char *kit;   /* NULL: none */
    int64_t priority;
    char due[11]; /* "" : none */
    int64_t cut, unmet;
    bool explained; /* left out with a proof of its own */
};

/* Pieces (indices) that may have any one row of lengths. */
struct fact_join {
    size_t count, alternatives;
    size_t pieces[8];
    int64_t lengths[128][8];
};

struct facts {
    int64_t kerf, trim, clamp, longest_bar, shortest_piece, gang;
    bool returns_any;
    int64_t usable, percent, places /* -1: any number */;
    size_t bar_count, piece_count;
    struct fact_bar *bars;
    struct fact_piece *pieces;
    size_t join_count;
    struct fact_join *joins;
    const json_t *previous;          /* borrowed; lines of earlier bars as they stand there; NULL: none */
    json_t *bar_index, *piece_index; /* name to number */
    int64_t rate_value, rate_length; /* of a remainder's worth */
};

/* Gives the pieces of joins the lengths that the plan's "joins" list chose, which must be among their alternatives. */
bool facts_choose(struct facts *facts, const json_t *chosen, struct fault *fault) MUST_CHECK;

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
