/* How many earlier bars can be kept at no more cost, against trying all ways. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <limits.h>
#include <math.h>

#ifdef __SANITIZE_ADDRESS__
enum { PROBLEMS = 60 };
#else
enum { PROBLEMS = 300 };
#endif
enum { PIECES = 7, KINDS = 2 };

struct small {
    int length[KINDS], quantity[KINDS]; /* -1: any */
    int piece[PIECES], kerf, usable;    /* usable 0: nothing goes back */
    int earlier, kind[PIECES];          /* bars of the earlier plan: their kinds and pieces */
    unsigned holds[PIECES];
};

struct trial {
    const struct small *small;
    int open, kind[PIECES], left[PIECES], used[KINDS], kept;
    unsigned holds[PIECES];
    long cost, asked; /* the least; that of which kept is the most */
};

static long net(const struct small *small, int kind, int left) {
    int remainder = left > 0 ? left : 0;
    bool returns = small->usable > 0 && remainder >= small->usable;
    return small->length[kind] - (returns ? 50L * remainder / 100 : 0);
}

static void look(struct trial *trial) {
    const struct small *small = trial->small;
    long cost = 0;
    int kept = 0;
    for (int i = 0; i < trial->open; i++) {
        cost += net(small, trial->kind[i], trial->left[i]);
        for (int e = 0; e < small->earlier; e++)
            kept += small->holds[e] == trial->holds[i] && small->kind[e] == trial->kind[i];
    }
    trial->cost = cost < trial->cost ? cost : trial->cost;
    if (cost <= trial->asked && kept > trial->kept)
        trial->kept = kept;
}

static void place(struct trial *trial, int piece) {
    const struct small *small = trial->small;
    if (piece == PIECES) {
        look(trial);
        return;
    }
    int takes = small->piece[piece] + small->kerf;
    for (int i = 0; i < trial->open; i++) {
        if (trial->left[i] + small->kerf < takes)
            continue;
        trial->left[i] -= takes;
        trial->holds[i] |= 1u << piece;
        place(trial, piece + 1);
        trial->left[i] += takes;
        trial->holds[i] &= ~(1u << piece);
    }
    for (int kind = 0; kind < KINDS; kind++) {
        if (small->length[kind] + small->kerf < takes || trial->used[kind] == small->quantity[kind])
            continue;
        trial->used[kind]++;
        trial->kind[trial->open] = kind;
        trial->left[trial->open] = small->length[kind] - takes;
        trial->holds[trial->open++] = 1u << piece;
        place(trial, piece + 1);
        trial->open--;
        trial->used[kind]--;
    }
}

/* An earlier plan that knew no care: each piece on the first bar with room, two of them left out where that is asked. */
static void plan_earlier(struct small *small, uint64_t *state) {
    int left[PIECES];
    for (int i = 0; i < PIECES; i++) {
        int takes = small->piece[i] + small->kerf, at = (int)pick(state, 0, 1);
        while (at < small->earlier && left[at] + small->kerf < takes)
            at++;
        if (at >= small->earlier) {
            at = small->earlier++;
            small->kind[at] = pick(state, 0, 1) == 0 && small->length[1] >= takes ? 1 : 0;
            left[at] = small->length[small->kind[at]];
        }
        left[at] -= takes;
        small->holds[at] |= 1u << i;
    }
}

static json_t *document(const struct small *small) {
    json_t *bars = json_array(), *pieces = json_array(), *previous = json_array();
    char name[16];
    for (int i = 0; i < KINDS; i++) {
        snprintf(name, sizeof name, "b%d", i);
        json_array_append_new(
            bars,
            json_pack("{s:s, s:o, s:o}", "name", name, "length", document_length(small->length[i]),
                      "quantity", small->quantity[i] < 0 ? json_null() : json_integer(small->quantity[i])));
    }
    for (int i = 0; i < PIECES; i++) {
        snprintf(name, sizeof name, "p%d", i);
        json_array_append_new(
            pieces, json_pack("{s:s, s:o}", "name", name, "length", document_length(small->piece[i])));
    }
    for (int e = 0; e < small->earlier; e++) {
        json_t *held = json_array();
        for (int i = 0; i < PIECES; i++)
            if (small->holds[e] >> i & 1) {
                snprintf(name, sizeof name, "p%d", i);
                json_array_append_new(held, json_string(name));
            }
        snprintf(name, sizeof name, "b%d", small->kind[e]);
        json_array_append_new(previous, json_pack("{s:s, s:o}", "bar", name, "pieces", held));
    }
    json_t *problem = json_pack("{s:o, s:o, s:o, s:o}", "kerf", document_length(small->kerf), "bars", bars,
                                "pieces", pieces, "previous", previous);
    if (small->usable > 0)
        json_object_set_new(
            problem, "remainder",
            json_pack("{s:o, s:i}", "usable", document_length(small->usable), "value_percent", 50));
    return problem;
}

Test(change_most, as_many_as_can_be_are_kept_and_it_is_known) {
    int some = 0, known = 0;
    for (uint64_t seed = 1; seed <= PROBLEMS; seed++) {
        uint64_t state = seed;
        struct small small = {.kerf = (int)pick(&state, 0, 1) * 3,
                              .usable = (int)pick(&state, 0, 1) * 20,
                              .length = {(int)pick(&state, 90, 120), (int)pick(&state, 50, 85)},
                              .quantity = {-1, (int)pick(&state, -1, 2)}};
        for (int i = 0; i < PIECES; i++)
            small.piece[i] = (int)pick(&state, 2, 8) * 5;
        plan_earlier(&small, &state);
        json_t *problem = document(&small);
        char what[32];
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *plan = solved(problem, 0, what), *change = json_object_get(plan, "change");
        struct trial trial = {.small = &small, .cost = LONG_MAX, .asked = lround(number(plan, "cost") * 10)};
        place(&trial, 0);
        int64_t kept = json_integer_value(json_object_get(change, "kept")),
                bound = json_integer_value(json_object_get(change, "bound"));
        cr_assert_eq(trial.cost, trial.asked, "%s: the least cost", what);
        if (kept != trial.kept || bound < trial.kept) {
            json_dumpf(problem, stderr, JSON_COMPACT);
            json_dumpf(plan, stderr, JSON_COMPACT);
        }
        cr_assert_eq(kept, trial.kept, "%s: %ld are kept, trying all keeps %d", what, (long)kept, trial.kept);
        cr_assert_geq(bound, trial.kept, "%s: the bound %ld", what, (long)bound);
        some += trial.kept > 0;
        known += bound == kept;
        json_decref(plan);
        json_decref(problem);
    }
    cr_assert_gt(some, PROBLEMS / 4, "earlier bars can be kept in many: %d", some);
    cr_assert_gt(known, PROBLEMS * 9 / 10, "the bound says so in nearly all: %d", known);
}
