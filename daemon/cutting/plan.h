/* A cutting plan: which bars, which pieces from each, what remains, what it costs and how good that is.
 *
 * As JSON (lengths and values in millimetres):
 *
 *     {"cost":.., "bound":.., "proven":true, "stopped":false, "proof":"prices",
 *      "unmet":[{"piece":"W1", "quantity":1, "why":"too-long"}], "buy":[{"bar":"six", "count":2}],
 *      "bars":[{"bar":"six", "count":2, "pieces":["W1","W1"], "kerfs":2, "lead_trim":10, "dust":4.4,
 *               "remainder":2325.6, "returns":true}],
 *      "joins":[{"pieces":["W7a","W7b"], "lengths":[1500,1500]}],
 *      "effort":{"setups":{"before":7,"after":5,"bound":3}, "loads":{"before":9,"after":7,"bound":4}, "open_kits":{"before":4,"after":2,"bound":2},
 *                "returned":{"before":3,"after":2}},
 *      "change":{"earlier":12, "possible":10, "kept":9, "bound":9},
 *      "offer":{"cost":60500, "setups":3}, "certificate":{..}, "ms":3.1}
 *
 * cost: value of bars and offcuts used, less the worth of remainders that go back.
 * bound: no plan that cuts the same pieces costs less. proof: how that is known, a word of enum cutting_proof.
 * proven: cost equals bound, and of everything left out it is proven that it had to be. Only then is a plan called best.
 * stopped: a limit of time, work or memory, or a cancel, ended the search. stopped_by: which of "time", "work", "memory",
 *   "cancel"; only where one did.
 * unmet: pieces left out, and why: "too-long" for every bar, "too-short" for the saw, "no-stock". With "no-stock", "proof"
 *   says how it is known that not one more of them can be cut beside all that is cut of lines more urgent: "material",
 *   "prices" (with "prices", pairs of length and price), "search", or "none"; "from" instead: as for that more urgent piece,
 *   which is no longer.
 * buy: the bars to get so that these can be cut.
 * bars: in the order in which they are best sawn. kerfs: blade cuts after squaring; dust: what they take.
 *   For every bar, to the tenth: length = lead_trim + pieces + dust + remainder.
 * joins: which alternative was chosen for each join of the problem, in its order.
 * effort: what the plan asks of people, among plans of this cost. setups: how often the stops change, bars cut alike standing
 *   together; loads: how often bars are put on the saw, equal ones as many at once as it takes ("gang" of the problem);
 *   open_kits: the most kits begun and not complete at any time; returned: remainders that go back. "before" is
 *   the first plan of this cost that was found; "bound" is what no plan can go below, for open_kits no order of its bars.
 * change: where the problem names earlier bars: how many, how many of these could be cut as they were, how many are, and
 *   how many a plan of this cost can keep at most.
 * offer: a plan that costs at most one bar more and has fewer set-ups, when one was met; it is not drawn up.
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_PLAN_H
#define ELLWAND_CUTTING_PLAN_H

#include "cutting/problem.h"

/* `count` bars of one line cut alike. */
struct cutting_run {
    size_t bar;                /* index into the problem's bars */
    int64_t count;             /* 1 or more */
    size_t first, piece_count; /* its pieces: plan->pieces[first .. first + piece_count), in sawing order */
    struct kerf_account account;
    bool returns; /* the remainder goes back to the rack */
};

enum cutting_why { CUTTING_TOO_LONG, CUTTING_TOO_SHORT, CUTTING_NO_STOCK };

struct cutting_buy {
    size_t bar;
    int64_t count;
};

/* How the bound was found; cutting_proof_name gives its word in the JSON. */
enum cutting_proof {
    CUTTING_PROOF_NONE,     /* 0, or the value of what is surely used */
    CUTTING_PROOF_MATERIAL, /* what the pieces themselves take out of bars */
    CUTTING_PROOF_PRICES,   /* integer prices per length: see the certificate */
    CUTTING_PROOF_SEARCH    /* every way to do better was searched */
};
const char *cutting_proof_name(enum cutting_proof proof);

/* What ended the search before its end. */
enum cutting_stop {
    CUTTING_STOP_NONE,
    CUTTING_STOP_TIME,
    CUTTING_STOP_WORK,
    CUTTING_STOP_MEMORY,
    CUTTING_STOP_CANCEL
};

/* What a plan asks of people. */
struct cutting_effort {
    int64_t setups, loads, open_kits, returned;
};

/* Tenths of bar, 2 km, up to which a certificate is given: beyond, checking it would fill the memory. */
enum { CUTTING_CERTIFICATE_LONGEST = 20000000 };

/* Integer prices that prove the bound: with V_j the most that any one bar j could be worth,
 *
 *     V_j = max over patterns of  sum of price + scale * worth of the remainder - (place if it goes back),
 *
 * scale * cost >= sum over pieces of price  -  sum over limited bars of quantity * max(0, V_j - scale *
 * value_j)
 *                 - places * place,
 *
 * where V_j <= scale * value_j for every bar of unlimited quantity. One knapsack per length of bar checks it.
 * `waste`: only patterns that leave at most so much count, since a cheaper plan could not have another. Then
 * the claim is that no plan costs less than `bound`. Documents leave it out where a bar in use could be longer than
 * CUTTING_CERTIFICATE_LONGEST. */
struct cutting_certificate {
    int64_t scale; /* 0: there is no certificate */
    int64_t place;
    int64_t waste; /* -1: every pattern counts */
    size_t count;
    ell_length *lengths; /* of pieces, distinct */
    int64_t *prices;
};

/* Pieces left out. `proof`: how it is known, where stock is short, that not one more of them can be cut beside what is cut
 * of the lines more urgent (in order of priority, due date, length, line). CUTTING_PROOF_PRICES comes with a certificate
 * whose prices are more in all than every bar that there is can be worth; what follows from the line `follows`, of no
 * longer pieces and more urgent, needs no other proof. */
struct cutting_unmet {
    size_t piece; /* index into the problem's pieces */
    int64_t quantity;
    enum cutting_why why;
    enum cutting_proof proof;
    size_t follows; /* index into the problem's pieces; SIZE_MAX: none */
    struct cutting_certificate certificate;
};

/* Bars of the earlier plan. */
struct cutting_change {
    int64_t earlier, possible, kept, bound;
};

/* Every array is owned; cutting_plan_free gives them back. */
struct cutting_plan {
    struct cutting_run *runs;
    size_t run_count;
    uint32_t *pieces; /* indices into the problem's pieces, run after run */
    size_t piece_count;
    struct cutting_unmet *unmet;
    size_t unmet_count;
    size_t *joins; /* the alternative taken of each join of the problem */
    size_t join_count;
    struct cutting_buy *buy;
    size_t buy_count;
    int64_t cost;
    int64_t bound; /* may be below zero where offcuts are worth less than what returns */
    bool proven, stopped;
    enum cutting_stop stopped_by;
    enum cutting_proof proof;
    struct cutting_effort before, after, least; /* least.returned is not used */
    bool has_change;
    struct cutting_change change;
    bool has_offer;
    int64_t offer_cost, offer_setups;
    struct cutting_certificate certificate;
    double ms; /* 0 without a clock */
    int64_t work,
        late; /* steps of search, as options count them; those after a cancel; not in the document */
};

/* Frees the arrays and leaves an empty plan; may be called twice. */
void cutting_plan_free(struct cutting_plan *plan);

/* The document above. NULL when memory runs out. The caller owns it. */
json_t *cutting_plan_write(const struct cutting_problem *problem, const struct cutting_plan *plan);

#endif
