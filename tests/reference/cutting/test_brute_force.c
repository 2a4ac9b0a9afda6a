/* Every small problem of a systematic family against trying all ways. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <limits.h>
#include <math.h>

/* The smallest model of the problem that can be tried out: every piece goes to some bar of some line. */
enum { PIECES_MOST = 6, BARS_MOST = 6, GANG = 2 };

struct small {
    int kerf, trim, clamp, usable /* 0: nothing goes back */, percent, places /* -1: any */;
    int bar_count, length[3], quantity[3] /* -1: any */, value[3];
    bool squared[3];
    int piece_count, piece[PIECES_MOST];
};

struct trial {
    const struct small *small;
    int open, kind[BARS_MOST], sum[BARS_MOST], number[BARS_MOST], used[3];
    int held[BARS_MOST][PIECES_MOST]; /* lengths on each open bar, as they came */
    long best;                        /* LONG_MAX: nothing fits */
    bool counting;                    /* the set-ups of every way that costs `asked`, too */
    long asked;
    unsigned setups; /* bit n: some way has n */
    int least_loads;
};

/* The words: the worth of a usable remainder is value_percent of it at the lowest value per length among bars of
 * unlimited quantity, or of the longest bar where none is; rounded down to a tenth. */
static long worth(const struct small *small, int remainder) {
    int rate = -1;
    bool any = false;
    for (int i = 0; i < small->bar_count; i++)
        any = any || small->quantity[i] < 0;
    for (int i = 0; i < small->bar_count; i++) {
        if (any && small->quantity[i] >= 0)
            continue;
        long a = rate < 0 ? 0 : (long)small->value[i] * small->length[rate];
        long b = rate < 0 ? 0 : (long)small->value[rate] * small->length[i];
        bool longer =
            rate >= 0 && (small->length[i] > small->length[rate] ||
                          (small->length[i] == small->length[rate] && small->value[i] < small->value[rate]));
        if (rate < 0 || (any ? a < b : longer))
            rate = i;
    }
    return (long)small->percent * remainder * small->value[rate] / (100L * small->length[rate]);
}

static bool fits(const struct small *small, int kind, int sum, int number) {
    int left =
        small->length[kind] - (small->squared[kind] ? 0 : small->trim) - sum - (number - 1) * small->kerf;
    return small->clamp > 0 ? left >= small->kerf + small->clamp : left >= 0;
}

static bool same_stops(const struct trial *trial, int one, int other) {
    const struct small *small = trial->small;
    int a = trial->kind[one], b = trial->kind[other];
    if (small->length[a] != small->length[b] || small->squared[a] != small->squared[b] ||
        trial->number[one] != trial->number[other])
        return false;
    /* Pieces are tried in the order of the problem: equal multisets have equal counts of each length. */
    for (int i = 0; i < trial->number[one]; i++) {
        int difference = 0;
        for (int n = 0; n < trial->number[one]; n++)
            difference +=
                (trial->held[one][n] == trial->held[one][i]) - (trial->held[other][n] == trial->held[one][i]);
        if (difference != 0)
            return false;
    }
    return true;
}

/* Set-ups, and loads of `gang` bars at once. */
static void count_setups(struct trial *trial, int gang) {
    int setups = 0, loads = 0;
    for (int i = 0; i < trial->open; i++) {
        int before = 0, all = 0;
        for (int n = 0; n < trial->open; n++) {
            bool same = same_stops(trial, i, n);
            before += same && n < i;
            all += same;
        }
        setups += before == 0;
        loads += before == 0 ? (all + gang - 1) / gang : 0;
    }
    trial->setups |= 1u << setups;
    trial->least_loads = loads < trial->least_loads ? loads : trial->least_loads;
}

static void price(struct trial *trial) {
    const struct small *small = trial->small;
    long cost = 0, worths[BARS_MOST];
    int count = 0;
    for (int i = 0; i < trial->open; i++) {
        int kind = trial->kind[i];
        int rest = small->length[kind] - (small->squared[kind] ? 0 : small->trim) - trial->sum[i] -
                   trial->number[i] * small->kerf;
        cost += small->value[kind];
        if (small->usable > 0 && rest >= small->usable)
            worths[count++] = worth(small, rest);
    }
    for (int taken = 0; taken < count && (small->places < 0 || taken < small->places); taken++) {
        int dearest = 0;
        for (int i = 1; i < count; i++)
            if (worths[i] > worths[dearest])
                dearest = i;
        cost -= worths[dearest];
        worths[dearest] = -1;
    }
    if (cost < trial->best)
        trial->best = cost;
    if (trial->counting && cost == trial->asked)
        count_setups(trial, GANG);
}

static void try_all(struct trial *trial, int piece) {
    const struct small *small = trial->small;
    if (piece == small->piece_count) {
        price(trial);
        return;
    }
    for (int i = 0; i < trial->open; i++) {
        if (!fits(small, trial->kind[i], trial->sum[i] + small->piece[piece], trial->number[i] + 1))
            continue;
        trial->held[i][trial->number[i]] = small->piece[piece];
        trial->sum[i] += small->piece[piece];
        trial->number[i]++;
        try_all(trial, piece + 1);
        trial->sum[i] -= small->piece[piece];
        trial->number[i]--;
    }
    for (int kind = 0; kind < small->bar_count; kind++) {
        if (!fits(small, kind, small->piece[piece], 1) || trial->used[kind] == small->quantity[kind])
            continue;
        trial->kind[trial->open] = kind;
        trial->held[trial->open][0] = small->piece[piece];
        trial->sum[trial->open] = small->piece[piece];
        trial->number[trial->open++] = 1;
        trial->used[kind]++;
        try_all(trial, piece + 1);
        trial->open--;
        trial->used[kind]--;
    }
}

static json_t *document(const struct small *small) {
    json_t *bars = json_array(), *pieces = json_array();
    for (int i = 0; i < small->bar_count; i++) {
        char name[16];
        snprintf(name, sizeof name, "b%d", i);
        json_array_append_new(
            bars,
            json_pack("{s:s, s:o, s:o, s:o, s:b}", "name", name, "length", document_length(small->length[i]),
                      "quantity", small->quantity[i] < 0 ? json_null() : json_integer(small->quantity[i]),
                      "value", document_length(small->value[i]), "squared", (int)small->squared[i]));
    }
    for (int i = 0; i < small->piece_count; i++) {
        char name[16];
        snprintf(name, sizeof name, "p%d", i);
        json_array_append_new(
            pieces, json_pack("{s:s, s:o}", "name", name, "length", document_length(small->piece[i])));
    }
    json_t *problem = json_pack("{s:o, s:o, s:o, s:o, s:o}", "kerf", document_length(small->kerf),
                                "lead_trim", document_length(small->trim), "tail_clamp",
                                document_length(small->clamp), "bars", bars, "pieces", pieces);
    if (small->usable > 0)
        json_object_set_new(problem, "remainder",
                            json_pack("{s:o, s:i, s:o}", "usable", document_length(small->usable),
                                      "value_percent", small->percent, "places",
                                      small->places < 0 ? json_null() : json_integer(small->places)));
    return problem;
}

static int offers;

static int64_t effort(const json_t *plan, const char *what, const char *field) {
    return json_integer_value(json_object_get(json_object_get(json_object_get(plan, "effort"), what), field));
}

/* Set-ups and loads of the plan, their bounds and the offer against every way of the same cost. */
static void compare_setups(const struct small *small, const json_t *plan, const char *what) {
    const json_t *offer = json_object_get(plan, "offer");
    struct trial trial = {.small = small, .best = LONG_MAX, .counting = true, .least_loads = INT_MAX};
    trial.asked = lround(number(plan, "cost") * 10);
    try_all(&trial, 0);
    int least = __builtin_ctz(trial.setups);
    cr_assert(trial.setups >> effort(plan, "setups", "after") & 1,
              "%s: some way of this cost has so many set-ups", what);
    cr_assert_leq(effort(plan, "setups", "bound"), least, "%s: no bound above the fewest, %d", what, least);
    cr_assert_leq(effort(plan, "loads", "bound"), trial.least_loads, "%s: nor of loads, %d", what,
                  trial.least_loads);
    cr_assert_geq(effort(plan, "setups", "before"), effort(plan, "setups", "after"),
                  "%s: not more than before", what);
    if (offer == NULL)
        return;
    struct trial dearer = {.small = small, .best = LONG_MAX, .counting = true, .least_loads = INT_MAX};
    dearer.asked = lround(number(offer, "cost") * 10);
    try_all(&dearer, 0);
    int64_t offered = json_integer_value(json_object_get(offer, "setups"));
    cr_assert(dearer.asked > trial.asked && offered < effort(plan, "setups", "after"),
              "%s: fewer set-ups for more", what);
    cr_assert(dearer.setups >> offered & 1, "%s: what is offered, %ld set-ups for %ld, can be had", what,
              (long)offered, dearer.asked);
    offers++;
}

static void compare(const struct small *small, long number_of_case) {
    struct trial trial = {.small = small, .best = LONG_MAX};
    try_all(&trial, 0);
    if (trial.best == LONG_MAX)
        return;
    char what[64];
    snprintf(what, sizeof what, "case %ld", number_of_case);
    json_t *problem = document(small);
    json_object_set_new(problem, "gang", json_integer(GANG));
    json_t *plan = solved(problem, 0, what);
    if (fabs(number(plan, "cost") * 10 - (double)trial.best) > 1e-6 ||
        !json_is_true(json_object_get(plan, "proven"))) {
        json_dumpf(problem, stderr, JSON_COMPACT);
        json_dumpf(plan, stderr, JSON_COMPACT);
        cr_assert_fail("%s: cost %.1f, proven %d; trying all gives %.1f", what, number(plan, "cost"),
                       json_is_true(json_object_get(plan, "proven")), (double)trial.best / 10);
    }
    if (number_of_case % 4 == 0)
        compare_setups(small, plan, what);
    json_decref(plan);
    json_decref(problem);
}

/* All features in all combinations, with lengths and pieces that run through a small grid. */
Test(brute_force, family_of_small_problems) {
    static const int kerfs[] = {0, 3}, clamps[] = {0, 7}, percents[] = {0, 50, 100}, places[] = {-1, 0, 1};
    uint64_t state = 11;
    long number_of_case = 0;
    for (int k = 0; k < 2; k++)
        for (int c = 0; c < 2; c++)
            for (int usable = 0; usable < 3; usable++)
                for (int p = 0; p < 3; p++)
                    for (int places_at = 0; places_at < 3; places_at++)
                        for (int repeat = 0; repeat < 8; repeat++) {
                            struct small small = {.kerf = kerfs[k],
                                                  .trim = (int)pick(&state, 0, 1) * 4,
                                                  .clamp = clamps[c],
                                                  .usable = usable * 15,
                                                  .percent = percents[p],
                                                  .places = places[places_at],
                                                  .bar_count = (int)pick(&state, 1, 3),
                                                  .piece_count = (int)pick(&state, 1, PIECES_MOST)};
                            for (int i = 0; i < small.bar_count; i++) {
                                small.length[i] = (int)pick(&state, 40, 120);
                                small.quantity[i] = (int)pick(&state, -1, 3);
                                small.value[i] = small.length[i] + (int)pick(&state, -10, 10);
                                small.squared[i] = pick(&state, 0, 1) == 1;
                            }
                            for (int i = 0; i < small.piece_count; i++)
                                small.piece[i] = (int)pick(&state, 5, 60);
                            compare(&small, number_of_case++);
                        }
}

/* Few lengths, wanted several times, so that patterns repeat and a bar more can save a set-up. */
Test(brute_force, set_ups_and_offers) {
    uint64_t state = 23;
    for (long number_of_case = 0; number_of_case < 600; number_of_case += 4) {
        struct small small = {.places = -1,
                              .usable = (int)pick(&state, 0, 1) * 15,
                              .percent = 50,
                              .bar_count = (int)pick(&state, 1, 2),
                              .piece_count = PIECES_MOST};
        for (int i = 0; i < small.bar_count; i++) {
            small.length[i] = (int)pick(&state, 60, 100);
            small.quantity[i] = -1;
            small.value[i] = small.length[i];
        }
        int lengths[] = {(int)pick(&state, 20, 50), (int)pick(&state, 15, 40), (int)pick(&state, 10, 30)};
        for (int i = 0; i < small.piece_count; i++)
            small.piece[i] = lengths[pick(&state, 0, 2)];
        compare(&small, number_of_case);
    }
    cr_assert_gt(offers, 0, "something is offered: %d", offers);
}

/* One bar, no kerf: all multisets of up to five lengths from a grid. */
Test(brute_force, every_multiset_on_one_bar) {
    long number_of_case = 0;
    for (int a = 20; a <= 60; a += 10)
        for (int b = 13; b <= a; b += 8)
            for (int c = 9; c <= b; c += 7)
                for (int d = 9; d <= c; d += 7)
                    for (int e = 9; e <= d; e += 9) {
                        struct small small = {.places = -1,
                                              .bar_count = 1,
                                              .length = {77},
                                              .quantity = {-1},
                                              .value = {77},
                                              .piece_count = 5,
                                              .piece = {a, b, c, d, e}};
                        compare(&small, number_of_case++);
                    }
    cr_assert_gt(number_of_case, 100, "the family is not empty: %ld", number_of_case);
}
