/* Pieces that must match, against trying all ways: what is cut where stock is short, most urgent first, and the least cost.
 * SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <limits.h>
#include <math.h>

#ifdef __SANITIZE_ADDRESS__
enum { REPEATS = 3 };
#else
enum { REPEATS = 20 };
#endif
enum { LINES_MOST = 7, BARS_MOST = 5, KINDS_MOST = 4 };

/* Lines in order of urgency. Each kind of bar has a batch; of each there are one or two. */
struct small {
    int kerf, usable, percent, places; /* usable 0: nothing goes back; places -1: any */
    int kinds, length[KINDS_MOST], quantity[KINDS_MOST], batch[KINDS_MOST];
    int lines, piece[LINES_MOST], wanted[LINES_MOST], group[LINES_MOST]; /* group -1: none */
};

struct trial {
    const struct small *small;
    int open, kind[16], left[16], used[KINDS_MOST];
    int counts[LINES_MOST], batch[LINES_MOST], held[LINES_MOST]; /* of each group */
    long cost;
};

/* Every kind is limited: the rate is that of the longest, whose value is its length. */
static void price(struct trial *trial) {
    const struct small *small = trial->small;
    long cost = 0, worths[16];
    int count = 0;
    for (int i = 0; i < trial->open; i++) {
        int remainder = trial->left[i] > 0 ? trial->left[i] : 0;
        cost += small->length[trial->kind[i]];
        if (small->usable > 0 && remainder >= small->usable)
            worths[count++] = (long)small->percent * remainder / 100;
    }
    for (int taken = 0; taken < count && (small->places < 0 || taken < small->places); taken++) {
        int dearest = 0;
        for (int i = 1; i < count; i++)
            dearest = worths[i] > worths[dearest] ? i : dearest;
        cost -= worths[dearest];
        worths[dearest] = -1;
    }
    trial->cost = cost < trial->cost ? cost : trial->cost;
}

static void place(struct trial *trial, int line, int number);

/* On the open bar `at`, if the group may come from its batch. `left` counts a kerf behind each piece. */
static void put(struct trial *trial, int line, int number, int at) {
    const struct small *small = trial->small;
    int takes = small->piece[line] + small->kerf, group = small->group[line],
        batch = small->batch[trial->kind[at]];
    if (trial->left[at] + small->kerf < takes)
        return;
    if (group >= 0 && trial->held[group] > 0 && trial->batch[group] != batch)
        return;
    trial->left[at] -= takes;
    if (group >= 0) {
        trial->batch[group] = trial->held[group]++ > 0 ? trial->batch[group] : batch;
        place(trial, line, number + 1);
        trial->held[group]--;
    } else {
        place(trial, line, number + 1);
    }
    trial->left[at] += takes;
}

static void place(struct trial *trial, int line, int number) {
    const struct small *small = trial->small;
    while (line < small->lines && number == trial->counts[line]) {
        line++;
        number = 0;
    }
    if (line == small->lines) {
        price(trial);
        return;
    }
    for (int at = 0; at < trial->open; at++)
        put(trial, line, number, at);
    for (int kind = 0; kind < small->kinds; kind++) {
        if (trial->used[kind] == small->quantity[kind])
            continue;
        trial->used[kind]++;
        trial->kind[trial->open] = kind;
        trial->left[trial->open++] = small->length[kind];
        put(trial, line, number, trial->open - 1);
        trial->open--;
        trial->used[kind]--;
    }
}

static long cost_of(const struct small *small, const int *counts) {
    struct trial trial = {.small = small, .cost = LONG_MAX};
    memcpy(trial.counts, counts, sizeof trial.counts);
    place(&trial, 0, 0);
    return trial.cost;
}

static long serve(const struct small *small, int *counts) {
    memset(counts, 0, LINES_MOST * sizeof *counts);
    for (int i = 0; i < small->lines; i++)
        for (counts[i] = small->wanted[i]; cost_of(small, counts) == LONG_MAX; counts[i]--)
            ;
    return cost_of(small, counts);
}

static json_t *document(const struct small *small) {
    json_t *bars = json_array(), *pieces = json_array();
    char name[16], other[16];
    for (int i = 0; i < small->kinds; i++) {
        snprintf(name, sizeof name, "b%d", i);
        snprintf(other, sizeof other, "batch %d", small->batch[i]);
        json_array_append_new(bars, json_pack("{s:s, s:o, s:i, s:s}", "name", name, "length",
                                              document_length(small->length[i]), "quantity",
                                              small->quantity[i], "batch", other));
    }
    for (int i = 0; i < small->lines; i++) {
        snprintf(name, sizeof name, "p%d", i);
        snprintf(other, sizeof other, "couple %d", small->group[i]);
        json_t *piece =
            json_pack("{s:s, s:o, s:i, s:i}", "name", name, "length", document_length(small->piece[i]),
                      "quantity", small->wanted[i], "priority", 9 - i);
        if (small->group[i] >= 0)
            json_object_set_new(piece, "batch_match", json_string(other));
        json_array_append_new(pieces, piece);
    }
    json_t *problem =
        json_pack("{s:o, s:o, s:o}", "kerf", document_length(small->kerf), "bars", bars, "pieces", pieces);
    if (small->usable > 0)
        json_object_set_new(problem, "remainder",
                            json_pack("{s:o, s:i, s:o}", "usable", document_length(small->usable),
                                      "value_percent", small->percent, "places",
                                      small->places < 0 ? json_null() : json_integer(small->places)));
    return problem;
}

static bool compare(const struct small *small, const char *what) {
    int best[LINES_MOST];
    long cost = serve(small, best);
    json_t *problem = document(small), *plan = solved(problem, 0, what), *left;
    int cut[LINES_MOST];
    size_t at;
    memcpy(cut, small->wanted, sizeof cut);
    json_array_foreach(json_object_get(plan, "unmet"), at, left) {
        const char *name = json_string_value(json_object_get(left, "piece"));
        cut[name[1] - '0'] -= (int)json_integer_value(json_object_get(left, "quantity"));
    }
    bool same = fabs(number(plan, "cost") * 10 - (double)cost) < 1e-6 &&
                json_is_true(json_object_get(plan, "proven"));
    for (int i = 0; i < small->lines; i++)
        same = same && cut[i] == best[i];
    if (!same) {
        json_dumpf(problem, stderr, JSON_COMPACT);
        json_dumpf(plan, stderr, JSON_COMPACT);
        for (int i = 0; i < small->lines; i++)
            fprintf(stderr, "\nline %d: cut %d, trying all %d", i, cut[i], best[i]);
    }
    cr_assert(same, "%s: cost %.1f, proven %d; trying all gives %.1f", what, number(plan, "cost"),
              json_is_true(json_object_get(plan, "proven")), (double)cost / 10);
    bool is_short = json_array_size(json_object_get(plan, "unmet")) > 0;
    json_decref(plan);
    json_decref(problem);
    return is_short;
}

/* Kerf, remainders and places in all combinations, with two or three batches, one or two couples or a set of three, beside
 * pieces that are free; stock that is enough, and stock that is not. */
Test(batches, family_of_small_problems) {
    static const int kerfs[] = {0, 3}, usables[] = {0, 12, 25}, places[] = {-1, 1};
    uint64_t state = 3;
    int cases = 0, shorts = 0;
    for (int k = 0; k < 2; k++)
        for (int u = 0; u < 3; u++)
            for (int p = 0; p < 2; p++)
                for (int groups = 1; groups <= 3; groups++)
                    for (int repeat = 0; repeat < REPEATS; repeat++) {
                        char what[32];
                        snprintf(what, sizeof what, "case %d", cases++);
                        struct small small = {.kerf = kerfs[k],
                                              .usable = usables[u],
                                              .percent = (int)pick(&state, 0, 2) * 50,
                                              .places = places[p],
                                              .kinds = (int)pick(&state, 2, KINDS_MOST),
                                              .lines = (int)pick(&state, 3, LINES_MOST)};
                        for (int i = 0; i < small.kinds; i++) {
                            small.length[i] = (int)pick(&state, 40, 120);
                            small.quantity[i] = (int)pick(&state, 1, 2);
                            small.batch[i] = i == 0 ? 0 : (int)pick(&state, 0, i < 3 ? i : 2);
                        }
                        for (int i = 0; i < small.lines; i++) {
                            small.piece[i] = (int)pick(&state, 10, 60);
                            small.wanted[i] = i == 0 ? (int)pick(&state, 1, 2) : 1;
                            small.group[i] = (int)pick(&state, -1, groups - 1);
                        }
                        shorts += compare(&small, what);
                    }
    cr_assert_gt(shorts, cases / 8, "stock was short in many: %d of %d", shorts, cases);
    cr_assert_lt(shorts, cases, "and not in all");
}
