/* A problem in which the pieces of a group may take any batch: one type of piece for each length and batch.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_MATCH_WIDE_H
#define ELLWAND_CUTTING_MATCH_WIDE_H

#include "cutting/batches.h"
#include "cutting/model.h"
#include "cutting/scope.h"

/* Groups of equal lengths and equal batches are one kind. */
struct wide_kind {
    int64_t count;
    size_t first; /* one of its groups, as a number among the joins */
};

struct wide {
    struct cutting_problem problem; /* with a line for each length and batch; bars borrowed */
    int32_t *piece_batch;           /* of its lines */
    struct model model;
    struct joins joins; /* a choice for each group, an alternative for each batch that it can take */
    int32_t *group_of;  /* of each choice: the group's number in `batches` */
    int32_t **batch_of; /* of each choice: the batch of each alternative */
    size_t *kind_of;    /* of each choice */
    struct wide_kind *kinds;
    size_t kind_count;
    bool none; /* a group has no batch that could give it */
};

/* False with fault "out-of-memory". wide_free also after failure. A batch that cannot give a group, because a piece is
 * longer than every bar of it or because it has too little length in all, is no alternative. */
bool wide_make(const struct cutting_problem *problem, const int64_t *wanted, const struct batches *batches,
               struct wide *wide, struct fault *fault) MUST_CHECK;
void wide_free(struct wide *wide);

#endif
