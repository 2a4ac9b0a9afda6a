/* A cutting problem: what is wanted, what there is, and the saw, for one track system in one finish.
 *
 * As JSON (lengths and values in millimetres, at most one decimal; unknown fields are refused):
 *
 *     {"kerf":2.2, "lead_trim":10, "tail_clamp":0, "longest_bar":null, "shortest_piece":0, "gang":1,
 *      "remainder":{"usable":600, "value_percent":80, "places":null},
 *      "bars":[{"name":"six", "length":6000, "quantity":null, "value":6000},
 *              {"name":"F17", "length":1874.5, "quantity":1, "squared":true, "batch":"b3", "age":40}],
 *      "pieces":[{"name":"W1", "length":1830, "quantity":3, "due":"2026-12-04", "priority":5},
 *                {"name":"W7a", "length":1830, "batch_match":"W7", "kit":"A1001/7"},
 *                {"name":"W7b", "length":1170, "batch_match":"W7", "kit":"A1001/7"}],
 *      "joins":[{"pieces":["W7a","W7b"], "alternatives":[[1830,1170],[1500,1500]]}],
 *      "previous":[{"bar":"six", "length":6000, "count":1, "pieces":["W1","W1","W1"]}]}
 *
 * kerf, bars and pieces must be there; everything else may be left out.
 *
 * longest_bar: null: any bar fits the saw. A longer bar is left alone.
 * shortest_piece: what the saw can still hold; a shorter piece is not cut, and the plan says so.
 *
 * gang: how many equal bars the saw holds and cuts at once, 1 to CUTTING_GANG_MOST; default 1.
 *
 * remainder: left out: no remainder goes back to the rack.
 *   usable: the least length that goes back.
 *   value_percent (default 0): its worth, in percent of the same length at the lowest value per length among
 *     bars of unlimited quantity, or of the longest bar where none is unlimited, rounded down to a tenth.
 *   places: how many remainders the rack can take; null: any number.
 *
 * bars: each name once.
 *   quantity: null or left out: as many as wanted. value: default the length.
 *   squared: the lead end needs no trim. age: days on the rack; the oldest of equal bars are used first.
 *   batch: the finish batch; lines with the same one match, a line without one is a batch of its own.
 *   place: where it lies. purchasable: whether "buy" may name it; default true unless quantity is 1.
 *
 * pieces: each name once. quantity: default 1.
 *   priority (0 to 9, default 0), due: where stock is short the higher priority is cut first, then the
 *     earlier due date, none being last, then the longer piece, then the earlier line. Bars are also sawn in this order as far as kits allow.
 *   batch_match: pieces with the same text must come from one batch.
 *   kit: pieces with the same text are packed together, so the saw should not be long between them; default
 *     what stands in batch_match.
 *
 * joins: the pieces of one track (quantity 1 each) may have any one of these lists of lengths instead of
 *   their own; the plan chooses, and leaves the first where another saves nothing. Its bound is for the lists
 *   given.
 *
 * previous: bars of an earlier plan of which nothing has been cut. Among plans of equal cost the one that cuts most of them
 *   as they were is wanted. bar: the line that it comes from; where there is none of that name, any of that length (left
 *   out: none). Pieces that are not wanted any more may be named. count: default 1.
 *
 * Bars already bound to released plans, and their pieces, are left out: what remains is the problem, and the
 * released plan stays as it is.
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_PROBLEM_H
#define ELLWAND_CUTTING_PROBLEM_H

#include "common/fault.h"
#include "cutting/kerf.h"

#include <jansson.h>
#include <stddef.h>
#include <stdint.h>

enum {
    CUTTING_NAME = 64,                  /* bytes of a name, the closing NUL included */
    CUTTING_BARS_MOST = 50000,          /* lines of bars */
    CUTTING_PIECES_MOST = 500000,       /* lines of pieces */
    CUTTING_PER_BAR_MOST = 10000,       /* pieces that may fit on one bar */
    CUTTING_QUANTITY_MOST = 1000000000, /* of one line */
    CUTTING_GANG_MOST = 20,             /* bars at once */
    CUTTING_JOINS_MOST = 5000,
    CUTTING_JOIN_PIECES_MOST = 5, /* what a take-off lists at most (takeoff/takeoff.h) */
    CUTTING_JOIN_ALTERNATIVES_MOST = 128,
    CUTTING_PREVIOUS_MOST = 20000 /* lines of earlier bars, and bars in all of them */
};

/* The worst plan must cost less, so that every sum is exact in a double as well: 2^53 tenths. */
#define CUTTING_COST_MOST ((int64_t)9007199254740992)

#define CUTTING_UNLIMITED ((int64_t)-1)

struct cutting_bar {
    char name[CUTTING_NAME];
    ell_length length;
    int64_t quantity; /* or CUTTING_UNLIMITED */
    int64_t value;    /* tenths */
    bool squared;
    bool purchasable;
    int64_t age;              /* days */
    char batch[CUTTING_NAME]; /* "" : a batch of its own */
    char place[CUTTING_NAME];
};

struct cutting_piece {
    char name[CUTTING_NAME];
    ell_length length;
    int64_t quantity;
    int priority; /* 9 first, 0 last */
    char due[11]; /* "" : none */
    char batch_match[CUTTING_NAME];
    char kit[CUTTING_NAME]; /* "" : batch_match */
};

/* The first `count` of `pieces` (indices into the problem's) may take any one row of `lengths`. */
struct cutting_join {
    size_t count, alternatives;
    size_t pieces[CUTTING_JOIN_PIECES_MOST];
    ell_length lengths[CUTTING_JOIN_ALTERNATIVES_MOST][CUTTING_JOIN_PIECES_MOST];
};

/* Bars of an earlier plan. */
struct cutting_earlier {
    size_t bar;        /* index into the problem's; SIZE_MAX: none of that name */
    ell_length length; /* 0: not told */
    int64_t count;
    size_t first,
        piece_count; /* previous_pieces[first ..]: indices; UINT32_MAX: a piece not wanted any more */
};

struct cutting_remainder {
    ell_length usable; /* ELL_LENGTH_MAX + 1: nothing goes back */
    int percent;       /* 0 to 100 */
    int64_t places;    /* or CUTTING_UNLIMITED */
};

struct cutting_problem {
    struct cutting_saw saw;
    struct cutting_remainder remainder;
    int64_t gang; /* equal bars sawn at once */
    size_t bar_count, piece_count, join_count;
    struct cutting_bar *bars;     /* owned */
    struct cutting_piece *pieces; /* owned */
    struct cutting_join *joins;   /* owned */
    size_t previous_count;
    struct cutting_earlier *previous; /* owned */
    uint32_t *previous_pieces;        /* owned */
};

/* An empty problem: no kerf, no trim, no bars, no pieces. */
void cutting_problem_clear(struct cutting_problem *problem);
/* Frees the arrays and leaves an empty problem; may be called twice. */
void cutting_problem_free(struct cutting_problem *problem);

/* Bounds and agreement: every number in its range, names unique, sums that fit. fault "out-of-range",
 * "duplicate-name", "too-large", "too-fine" (a bar that would hold more than CUTTING_PER_BAR_MOST pieces). */
bool cutting_problem_check(const struct cutting_problem *problem, struct fault *fault) MUST_CHECK;

/* The JSON above into `problem`, which the caller frees; checked. On failure `problem` is empty and needs no
 * freeing. */
bool cutting_problem_read(const json_t *json, struct cutting_problem *problem,
                          struct fault *fault) MUST_CHECK;

/* The worth of a remainder, in tenths: 0 when it does not go back. `rate_*` as from cutting_worth_rate. */
struct cutting_rate {
    int64_t value;
    ell_length length; /* 0: no bar, no worth */
};
struct cutting_rate cutting_worth_rate(const struct cutting_problem *problem);
int64_t cutting_worth(const struct cutting_remainder *remainder, struct cutting_rate rate, ell_length length);

#endif
