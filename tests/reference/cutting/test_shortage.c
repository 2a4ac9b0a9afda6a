/* Short stock against trying all ways: which pieces are cut, most urgent first, and at what cost.
 * SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <limits.h>
#include <math.h>

enum { LINES_MOST = 5, BARS_MOST = 3, PROBLEMS = 400 };

/* A small problem, its lines in order of urgency. */
struct small {
    int kerf, bars, lines;
    int bar[BARS_MOST], value[BARS_MOST];
    int length[LINES_MOST], wanted[LINES_MOST], priority[LINES_MOST];
};

struct trial {
    const struct small *small;
    int left[BARS_MOST];
    bool used[BARS_MOST];
    int counts[LINES_MOST];
    long cost;
};

/* Puts the pieces of `counts` on the bars in every way; least cost, LONG_MAX where they do not fit. */
static void place(struct trial *trial, int line, int number) {
    while (line < trial->small->lines && number == trial->counts[line]) {
        line++;
        number = 0;
    }
    if (line == trial->small->lines) {
        long cost = 0;
        for (int b = 0; b < trial->small->bars; b++)
            cost += trial->used[b] ? trial->small->value[b] : 0;
        trial->cost = cost < trial->cost ? cost : trial->cost;
        return;
    }
    for (int b = 0; b < trial->small->bars; b++) {
        int takes = trial->small->length[line] + (trial->used[b] ? trial->small->kerf : 0);
        bool fresh = !trial->used[b];
        if (trial->left[b] < takes)
            continue;
        trial->left[b] -= takes;
        trial->used[b] = true;
        place(trial, line, number + 1);
        trial->left[b] += takes;
        trial->used[b] = !fresh;
    }
}

static long cost_of(const struct small *small, const int *counts) {
    struct trial trial = {.small = small, .cost = LONG_MAX};
    memcpy(trial.left, small->bar, sizeof trial.left);
    memcpy(trial.counts, counts, sizeof trial.counts);
    place(&trial, 0, 0);
    return trial.cost;
}

/* The most of each line in turn; lines that no bar takes are cut 0 times. */
static long serve(const struct small *small, int *counts) {
    memset(counts, 0, LINES_MOST * sizeof *counts);
    for (int i = 0; i < small->lines; i++)
        for (counts[i] = small->wanted[i]; cost_of(small, counts) == LONG_MAX; counts[i]--)
            ;
    return cost_of(small, counts);
}

static struct small make(uint64_t seed) {
    uint64_t state = seed;
    struct small small = {.kerf = (int)pick(&state, 0, 1) * 3,
                          .bars = (int)pick(&state, 1, BARS_MOST),
                          .lines = (int)pick(&state, 2, LINES_MOST)};
    for (int b = 0; b < small.bars; b++) {
        small.bar[b] = (int)pick(&state, 40, 120);
        small.value[b] = small.bar[b] + (int)pick(&state, -5, 5);
    }
    for (int i = 0; i < small.lines; i++) {
        small.length[i] = (int)pick(&state, 10, 70);
        small.wanted[i] = (int)pick(&state, 1, 2);
        small.priority[i] = 9 - i;
    }
    return small;
}

static json_t *document(const struct small *small) {
    json_t *bars = json_array(), *pieces = json_array();
    for (int b = 0; b < small->bars; b++) {
        char name[16];
        snprintf(name, sizeof name, "b%d", b);
        json_array_append_new(bars, json_pack("{s:s, s:o, s:i, s:o}", "name", name, "length",
                                              document_length(small->bar[b]), "quantity", 1, "value",
                                              document_length(small->value[b])));
    }
    for (int i = 0; i < small->lines; i++) {
        char name[16];
        snprintf(name, sizeof name, "p%d", i);
        json_array_append_new(pieces, json_pack("{s:s, s:o, s:i, s:i}", "name", name, "length",
                                                document_length(small->length[i]), "quantity",
                                                small->wanted[i], "priority", small->priority[i]));
    }
    return json_pack("{s:o, s:o, s:o}", "kerf", document_length(small->kerf), "bars", bars, "pieces", pieces);
}

static void read_cut(const json_t *plan, const struct small *small, int *cut) {
    const json_t *left;
    size_t at;
    memcpy(cut, small->wanted, LINES_MOST * sizeof *cut);
    json_array_foreach(json_object_get(plan, "unmet"), at, left) {
        const char *name = json_string_value(json_object_get(left, "piece"));
        cut[name[1] - '0'] -= (int)json_integer_value(json_object_get(left, "quantity"));
    }
}

Test(shortage, the_most_urgent_are_cut_at_least_cost_and_it_is_proven) {
    int short_of_stock = 0;
    for (uint64_t seed = 1; seed <= PROBLEMS; seed++) {
        struct small small = make(seed);
        int best[LINES_MOST], cut[LINES_MOST];
        char what[32];
        long cost = serve(&small, best);
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *problem = document(&small), *plan = solved(problem, 0, what);
        read_cut(plan, &small, cut);
        for (int i = 0; i < small.lines; i++)
            cr_assert_eq(cut[i], best[i], "%s: line %d: %d are cut, trying all gives %d", what, i, cut[i],
                         best[i]);
        cr_assert(fabs(number(plan, "cost") * 10 - (double)cost) < 1e-6, "%s: cost %g, trying all gives %ld",
                  what, number(plan, "cost") * 10, cost);
        cr_assert(json_is_true(json_object_get(plan, "proven")), "%s: and it is proven", what);
        short_of_stock += json_array_size(json_object_get(plan, "unmet")) > 0;
        json_decref(plan);
        json_decref(problem);
    }
    cr_assert_gt(short_of_stock, PROBLEMS / 4, "stock was short in many: %d", short_of_stock);
}

/* A wrong proof is found out: prices halved on one side, another reason, a piece it does not follow from. */
Test(shortage, the_checker_refuses_what_is_not_proven) {
    json_t *problem =
        parse("{\"kerf\":0,\"bars\":[{\"name\":\"b\",\"length\":100,\"quantity\":2}],\"pieces\":["
              "{\"name\":\"a\",\"length\":60,\"quantity\":2,\"priority\":5},"
              "{\"name\":\"c\",\"length\":50,\"priority\":4},{\"name\":\"d\",\"length\":55}]}");
    struct fault fault;
    json_t *plan = solved(problem, 0, "short"), *unmet = json_object_get(plan, "unmet");
    cr_assert_eq(json_array_size(unmet), 2, "c and d are left out");
    cr_assert(json_is_true(json_object_get(plan, "proven")), "and that is proven");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(unmet, 1), "from")), "c",
                     "d is longer than c");
    json_object_set_new(json_array_get(unmet, 0), "proof", json_string("material"));
    cr_assert_not(plan_check(problem, plan, &fault), "there is material enough");
    json_object_set_new(json_array_get(unmet, 0), "proof", json_string("none"));
    cr_assert_not(plan_check(problem, plan, &fault), "d does not follow from what is not proven");
    json_object_set_new(json_array_get(unmet, 0), "proof", json_string("prices"));
    json_object_set_new(json_array_get(unmet, 0), "prices", parse("[[60,1],[50,0]]"));
    cr_assert_not(plan_check(problem, plan, &fault), "prices that bars are worth too");
    json_object_set_new(json_array_get(unmet, 0), "prices", parse("[[60,2],[50,1]]"));
    cr_assert(plan_check(problem, plan, &fault), "prices that show it: 5 against 2 for each bar: %s",
              fault.message);
    json_decref(plan);
    json_decref(problem);
}
