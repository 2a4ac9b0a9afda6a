/* The linear relaxation over all patterns, by column generation (Gilmore, Gomory 1961), and a bound that is
 * safe whatever the linear programming library did (Farley 1990, in its Lagrangian form for several classes
 * of stock). SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_RELAX_H
#define ELLWAND_CUTTING_RELAX_H

#include "cutting/plan.h"
#include "cutting/price.h"

struct relaxed;

/* What all nodes of a search share. */
struct engine {
    const struct model *model;
    struct watch *watch;
    struct pool pool;
    struct layout best; /* the best plan so far */
    bool has_best;      /* and it leaves nothing out */
    bool no_memory;
    int64_t bound;  /* no plan for the whole problem costs less */
    int64_t target; /* only plans that cost less than this are looked for: the best one's cost */
    int64_t step;   /* costs come in multiples of it */
    struct cutting_certificate *certificate; /* of the first node's bound; NULL: none wanted */
    bool central; /* prices come from the middle of those that prove the bound (pricing_centre) */
    /* Shown the first node's relaxation before it has converged, so that there are plans early; NULL: other nodes. */
    void (*midway)(struct engine *engine, const struct scope *scope, const struct relaxed *relaxed);
};

/* The waste that a plan cheaper than the target could have on all its bars together: known where there is one
 * class of stock and nothing goes back for money; INT64_MAX otherwise. Below zero: there is no such plan. */
int64_t engine_waste(const struct engine *engine);

/* Settles the layout and keeps it if it is better than the best. Adds its patterns to the pool. */
void engine_offer(struct engine *engine, struct layout *layout);

struct relaxed {
    int64_t bound;     /* no plan in this scope costs less; INT64_MAX: there is none below the target */
    bool converged;    /* no pattern could improve the relaxation */
    int32_t *patterns; /* numbers in the pool */
    double *values;    /* how often each is used; same length */
    size_t count;
    int32_t *near; /* patterns worth starting from in a scope much like this one */
    size_t near_count;
    double *taken; /* of each alternative of each join of the scope, how much of it */
    bool whole;    /* converged, and every piece is covered */
    double place_price;
    double *prices; /* of each type of the scope, in tenths of money */
    double cost;    /* of the relaxation, in tenths */
};

/* Starts from the patterns in `start`. Stops when converged, when the bound reaches the target, or when the
 * watch is over. The caller frees `relaxed`. False for want of memory. */
bool relax(struct engine *engine, const struct scope *scope, const int32_t *start, size_t start_count,
           struct relaxed *relaxed) MUST_CHECK;
void relaxed_free(struct relaxed *relaxed);

/* What the safe bound rests on, in integers: cost * scale = sum of reduced costs + sum of prices - place *
 * returned. */
struct proof {
    struct engine *engine;
    const struct scope *scope;
    struct pricer *pricer; /* set to these prices */
    double *prices;        /* integers, one a type */
    double scale;
    int64_t place;
    double *excess; /* of each class: what its best pattern is worth beyond the bar, where the class is
                       limited; else 0 */
    __int128 sum;   /* the bound times the scale, before it is rounded up */
    struct priced found;
};

/* Makes the proof at given prices (in tenths of money, one a type; below zero counts as zero) and place
 * price, and the bound in *bound: INT64_MIN when it could not be found within the limits. False for want of
 * memory. proof_free also after failure. */
bool proof_make(struct engine *engine, const struct scope *scope, struct pricer *pricer, const double *prices,
                double place_price, struct proof *proof, int64_t *bound) MUST_CHECK;
void proof_free(struct proof *proof);

/* The safe bound at given prices (in tenths of money, one a type; below zero counts as zero) and place price.
 * Writes the integer prices to `certificate` unless NULL. INT64_MIN when it could not be found within the
 * limits. */
int64_t safe_bound(struct engine *engine, const struct scope *scope, struct pricer *pricer,
                   const double *prices, double place_price, struct cutting_certificate *certificate);

#endif
