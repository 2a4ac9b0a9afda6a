/* What the files of small.h share. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SMALL_TREE_H
#define ELLWAND_CUTTING_SMALL_TREE_H

#include "cutting/small.h"
#include "cutting/small_lp.h"

enum branch_kind {
    BRANCH_TOGETHER, /* types of demand 1 on one bar */
    BRANCH_APART,
    BRANCH_FROM, /* a type of demand 1 from a class */
    BRANCH_NOT_FROM,
    BRANCH_MOST, /* of a row, or uses of a column, as a variable of the linear program */
    BRANCH_LEAST
};

struct branch {
    enum branch_kind kind;
    int32_t one, other; /* types; type and class; variable */
    int64_t count;
};

/* What branches of one kind raised the cost by, when they were tried: the first half and the other, in sum. */
struct branch_gain {
    double first, second;
    int count;
};

struct branch_node {
    struct branch_node *below; /* on the stack */
    int64_t bound;             /* proven */
    size_t depth;
    struct branch *branches;
};

/* A limit as it was before. */
struct trail_entry {
    int32_t variable;
    double least, most;
};

struct tree {
    struct engine *engine;
    const struct columns *columns;
    struct small_lp lp;
    int64_t
        target; /* only plans that cost less are looked for: the engine's, or a lower one that is tried first */
    int64_t *row_least, *row_most; /* of the program itself */
    /* For each type the columns that hold it: holders[from[i] .. from[i + 1]). */
    uint32_t *from, *holders;
    struct branch_node *top;
    int64_t unresolved; /* least bound of a node that could not be settled */
    bool deeper;
    /* Where the linear program stands. */
    struct branch *path;
    size_t *marks; /* where the trail stood before each branch of the path */
    size_t depth, path_room;
    struct trail_entry *trail;
    size_t trail_count, trail_room;
    /* The last proof, times its scale. */
    int64_t *price, *reduced;
    __int128 sum;
    double scale;
    /* The root's, for when a better plan is found. */
    int64_t *root_reduced;
    __int128 root_sum;
    double root_scale;
    bool rooted;
    int64_t narrowed;          /* the target when the root's was used last */
    double *pairs;             /* types * types */
    double *classes;           /* types * classes */
    struct branch_gain *gains; /* of pairs, then of types and classes, then of rows */
    unsigned char *saved;      /* room for a basis */
    struct layout_part *parts;
    struct layout layout;
};

/* The tree of these columns, without any node; target: the engine's. False for want of memory; tree_free also then. */
bool tree_make(struct engine *engine, const struct columns *columns, struct tree *tree) MUST_CHECK;
void tree_free(struct tree *tree);
void tree_node_free(struct branch_node *node);

/* From where it stands to the node: back to where the paths part, then along the node's. */
void tree_go_to(struct tree *tree, const struct branch_node *node);
/* Changes a variable's limits, to be taken back with the trail. */
void tree_limit(struct tree *tree, size_t variable, double least, double most);
void tree_apply(struct tree *tree, const struct branch *branch);
void tree_undo(struct tree *tree, size_t trail_count);

/* No solution within the limits as they stand costs less, by the prices of the linear program plus `times` times its ray.
 * INT64_MAX / 4 at most. */
int64_t tree_prove(struct tree *tree, double times);
/* After tree_prove: closes to columns what no plan below the target can use them for. */
void tree_rule_out(struct tree *tree);
/* The same at the root, by what its proof said, against the target as it is now. */
void tree_narrow(struct tree *tree);
/* Prices per length that anyone can check, and the bound they prove; columns have to be all there are. INT64_MIN: none. */
int64_t tree_certify(struct tree *tree, struct cutting_certificate *certificate);

/* The branch to take and its opposite, the better half first. False when everything is whole. */
bool tree_choose(struct tree *tree, struct branch *branch, struct branch *other);

#endif
