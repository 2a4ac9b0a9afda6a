/* A part of the whole problem that one node of the search looks at.
 *
 * Branching (Ryan, Foster 1981, extended to piece types by da Silva, Schouery 2024): either some bar holds an
 * i and a j, then one of each is joined into a new type of demand 1; or no bar holds both. And, where there
 * are several classes of stock: at most k bars of a class are used, or at least k + 1.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SCOPE_H
#define ELLWAND_CUTTING_SCOPE_H

#include "cutting/pool.h"

enum decision_kind { DECIDE_TOGETHER, DECIDE_APART, DECIDE_AT_MOST, DECIDE_AT_LEAST };

struct decision {
    enum decision_kind kind;
    int32_t one, other; /* types of the scope at that point; for stock: the class */
    int64_t count;      /* for stock */
};

/* Tracks that may be joined in several ways: of each, one alternative's pieces are wanted on top of `base`. */
struct join_choice {
    size_t count;   /* alternatives */
    size_t pieces;  /* of each */
    int32_t *types; /* of each alternative, `pieces` in a row */
};

static inline const int32_t *join_types(const struct join_choice *choice, size_t alternative) {
    return choice->types + alternative * choice->pieces;
}

struct joins {
    size_t count;
    struct join_choice *choices;
    int64_t *
        base; /* one a type of the model: wanted whatever is chosen; the model's demand is the most there can be */
};

struct scope {
    const struct model *model;
    size_t type_count; /* those of the model, then the joined ones */
    int64_t *width, *demand;
    int32_t *batch;        /* the one that the type must come from; -1: any; -2: none can give it */
    uint64_t *apart;       /* bit j of row i: not on one bar; NULL when nothing is apart */
    size_t words;          /* of one row */
    int64_t *least, *most; /* bars of each class; most: INT64_MAX without limit */
    int64_t places;        /* INT64_MAX without limit */
    const struct decision *decisions;
    size_t decision_count;
    const struct joins *joins; /* NULL unless set */
    int64_t fixed;             /* cost of what was decided before this scope was made; 0 unless set */
    int64_t waste;             /* what the bars of a better plan may leave in all; INT64_MAX unless set */
    bool empty;                /* the decisions contradict each other */
};

/* `demand`, one number a type, and `supply`, one a class, replace the model's own; NULL: as they are. The
 * scope borrows the decisions. */
bool scope_make(const struct model *model, const int64_t *demand, const int64_t *supply, int64_t places,
                const struct decision *decisions, size_t decision_count, struct scope *scope) MUST_CHECK;
void scope_free(struct scope *scope);

static inline bool scope_apart(const struct scope *scope, int32_t one, int32_t other) {
    return scope->apart != NULL &&
           (scope->apart[(size_t)one * scope->words + (size_t)other / 64] >> (other % 64) & 1);
}

static inline bool scope_allows(const struct scope *scope, int32_t type, int32_t stock) {
    return scope->batch[type] == -1 || scope->batch[type] == scope->model->stocks[stock].batch;
}

/* A pattern of the model in this scope's types (rising order), into `parts` (room for type_count). Returns
 * their number; 0 when the pattern does not belong here. */
size_t scope_parts(const struct scope *scope, const struct pool *pool, const struct pattern *pattern,
                   int64_t *counts, struct layout_part *parts);

/* And back: the model's types of a pattern of this scope, in rising order. `counts`: room for type_count, all
 * 0 before and after. */
size_t scope_plain(const struct scope *scope, const struct layout_part *parts, size_t part_count,
                   int64_t *counts, struct layout_part *plain);

#endif
