/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/plan_check.h"

#include "cutting/check/bound_check.h"
#include "cutting/check/change_check.h"
#include "cutting/check/effort_check.h"
#include "cutting/check/shortage_check.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { PROOF_MATERIAL = 1 };

enum { RUNS_MOST = 4000000, COUNT_MOST = 2000000000 };

struct sums {
    __int128 cost;
    __int128 returned;
};

#define WRONG(form, name, ...) form_wrong(form, name, "bad-plan", __VA_ARGS__)

/* Adds the run's pieces to what has been cut. Returns their total length; the number of them goes to *count.
 */
static int64_t take_pieces(struct form *form, struct facts *facts, const json_t *names, int64_t times,
                           int64_t *count) {
    int64_t sum = 0;
    *count = (int64_t)json_array_size(names);
    for (size_t i = 0; i < json_array_size(names); i++) {
        const char *name = json_string_value(json_array_get(names, i));
        struct fact_piece *piece = name ? facts_piece(facts, name) : NULL;
        if (piece == NULL) {
            WRONG(form, "pieces", "Piece %zu is none of the problem's.", i);
            return 0;
        }
        if (piece->length < facts->shortest_piece)
            WRONG(form, "pieces", "The saw cannot hold \"%s\".", piece->name);
        piece->cut += times;
        if (piece->cut > piece->quantity)
            WRONG(form, "pieces", "\"%s\" is cut more often than wanted.", piece->name);
        sum += piece->length;
    }
    return sum;
}

/* Kerf arithmetic of one bar, worked out from the trade's rule and compared with what the plan says. */
static void check_lengths(struct form *form, const struct facts *facts, const struct fact_bar *bar,
                          int64_t sum, int64_t count) {
    int64_t trim = bar->squared ? 0 : facts->trim;
    int64_t left = bar->length - trim - sum - (count - 1) * facts->kerf; /* behind the last piece */
    if (left < 0 || (facts->clamp > 0 && left < facts->kerf + facts->clamp))
        WRONG(form, "pieces", "They do not fit on the bar \"%s\" with their kerfs.", bar->name);
    int64_t last = left < facts->kerf ? left : facts->kerf;
    int64_t dust = (count - 1) * facts->kerf + last;
    int64_t kerfs = left > 0 ? count : count - 1;
    if (form_length(form, "lead_trim", 0, ELL_LENGTH_MAX) != trim)
        WRONG(form, "lead_trim", "The trim is another.");
    if (form_integer(form, "kerfs", 0, INT64_MAX) != kerfs)
        WRONG(form, "kerfs", "There are %" PRId64 ".", kerfs);
    if (form_length(form, "dust", 0, INT64_MAX) != dust)
        WRONG(form, "dust", "The kerfs take another length.");
    if (form_length(form, "remainder", 0, ELL_LENGTH_MAX) != left - last)
        WRONG(form, "remainder", "Another length remains.");
    if (trim + sum + dust + (left - last) != bar->length)
        WRONG(form, "remainder", "The lengths do not add up to the bar.");
}

static bool check_run(const json_t *json, long index, struct facts *facts, struct sums *sums,
                      struct fault *fault) {
    char path[64], name[64];
    struct form form;
    snprintf(path, sizeof path, "bars[%ld]", index);
    form_open(&form, json, path, fault);
    form_text(&form, "bar", name, sizeof name);
    int64_t times = form_integer(&form, "count", 1, COUNT_MOST), count = 0;
    const json_t *names = form_array(&form, "pieces", 1, RUNS_MOST);
    bool returns = form_boolean_or(&form, "returns", false);
    struct fact_bar *bar = facts_bar(facts, name);
    if (bar == NULL && !form.failed)
        WRONG(&form, "bar", "There is no such bar.");
    int64_t sum = form.failed ? 0 : take_pieces(&form, facts, names, times, &count);
    if (form.failed || bar == NULL)
        return false;
    bar->used += times;
    if (bar->quantity >= 0 && bar->used > bar->quantity)
        WRONG(&form, "count", "More of \"%s\" are used than there are.", bar->name);
    if (bar->length > facts->longest_bar)
        WRONG(&form, "bar", "\"%s\" is too long for the saw.", bar->name);
    check_lengths(&form, facts, bar, sum, count);
    int64_t remainder = form_length(&form, "remainder", 0, ELL_LENGTH_MAX);
    if (returns && (!facts->returns_any || remainder < facts->usable))
        WRONG(&form, "returns", "This remainder is too short to go back.");
    sums->cost += (__int128)times * (bar->value - (returns ? facts_worth(facts, remainder) : 0));
    sums->returned += returns ? times : 0;
    return form_close(&form);
}

/* Every piece of a group from one batch: `seen` keeps, for each group, the bar that its first piece came from. */
static bool check_batches(const json_t *runs, const struct facts *facts, json_t *seen, struct fault *fault) {
    for (size_t i = 0; i < json_array_size(runs); i++) {
        const json_t *run = json_array_get(runs, i), *names = json_object_get(run, "pieces");
        json_t *bar_name = json_object_get(run, "bar");
        const struct fact_bar *bar = facts_bar(facts, json_string_value(bar_name));
        for (size_t n = 0; n < json_array_size(names); n++) {
            const struct fact_piece *piece = facts_piece(facts, json_string_value(json_array_get(names, n)));
            if (piece->match == NULL)
                continue;
            const json_t *first = json_object_get(seen, piece->match);
            if (first == NULL && json_object_set(seen, piece->match, bar_name) != 0)
                return fault_memory(fault);
            const struct fact_bar *other = first ? facts_bar(facts, json_string_value(first)) : bar;
            bool same = other == bar ||
                        (bar->batch != NULL && other->batch != NULL && strcmp(bar->batch, other->batch) == 0);
            if (!same)
                return fault_set(fault, "bad-plan", piece->name,
                                 "It has to match the others of \"%s\", but comes from another batch.",
                                 piece->match);
        }
    }
    return true;
}

static bool check_unmet(const json_t *list, struct facts *facts, struct fault *fault) {
    static const char *const whys[] = {"too-long", "too-short", "no-stock", NULL};
    int64_t longest = facts_longest_piece(facts);
    for (size_t i = 0; i < json_array_size(list); i++) {
        char path[64], name[64];
        struct form form;
        snprintf(path, sizeof path, "unmet[%zu]", i);
        form_open(&form, json_array_get(list, i), path, fault);
        form_text(&form, "piece", name, sizeof name);
        int64_t quantity = form_integer(&form, "quantity", 1, COUNT_MOST);
        int why = form_choice(&form, "why", whys);
        form_has(&form, "proof"); /* shortage_check reads these */
        form_has(&form, "from");
        form_array(&form, "prices", 0, RUNS_MOST);
        struct fact_piece *piece = facts_piece(facts, name);
        if (piece == NULL && !form.failed)
            WRONG(&form, "piece", "There is no such piece.");
        if (!form_close(&form))
            return false;
        piece->unmet += quantity;
        bool too_short = piece->length<facts->shortest_piece, too_long = piece->length> longest;
        if ((why == 0 && !too_long) || (why == 1 && !too_short) || (why == 2 && (too_long || too_short)))
            return fault_set(fault, "bad-plan", path, "The reason for leaving \"%s\" out is not true.",
                             piece->name);
    }
    for (size_t i = 0; i < facts->piece_count; i++) {
        const struct fact_piece *piece = &facts->pieces[i];
        if (piece->cut + piece->unmet != piece->quantity)
            return fault_set(fault, "bad-plan", piece->name,
                             "%" PRId64 " are cut and %" PRId64 " left out; %" PRId64 " were wanted.",
                             piece->cut, piece->unmet, piece->quantity);
    }
    return true;
}

static bool check_buy(const json_t *list, const struct facts *facts, struct fault *fault) {
    for (size_t i = 0; i < json_array_size(list); i++) {
        char path[64], name[64];
        struct form form;
        snprintf(path, sizeof path, "buy[%zu]", i);
        form_open(&form, json_array_get(list, i), path, fault);
        form_text(&form, "bar", name, sizeof name);
        form_integer(&form, "count", 1, COUNT_MOST);
        if (!form.failed && facts_bar(facts, name) == NULL)
            WRONG(&form, "bar", "There is no such bar.");
        if (!form_close(&form))
            return false;
    }
    return true;
}

/* Costs may be larger than any length: read as numbers. */
static __int128 tenths(struct form *form, const char *name) {
    double number = form_number(form, name, -1e15, 1e15);
    return (__int128)(number * 10 + (number < 0 ? -0.5 : 0.5));
}

/* A bound from prices comes with them; a bound from the search cannot be checked without searching again. */
static bool check_bound(const struct facts *facts, int proof, const json_t *certificate, int64_t bound,
                        struct fault *fault) {
    if (certificate != NULL && !certificate_check(facts, certificate, bound, fault))
        return false;
    return proof != PROOF_MATERIAL || material_check(facts, bound, fault);
}

static bool check_whole(const json_t *plan, struct facts *facts, struct fault *fault) {
    struct form form;
    struct sums sums = {0, 0};
    form_open(&form, plan, "", fault);
    __int128 cost = tenths(&form, "cost"), bound = tenths(&form, "bound");
    bool proven = form_boolean_or(&form, "proven", false);
    static const char *const proofs[] = {"none", "material", "prices", "search", NULL};
    int proof = form_choice(&form, "proof", proofs);
    const json_t *certificate = form_object(&form, "certificate");
    static const char *const limits[] = {"time", "work", "memory", "cancel", NULL};
    form_boolean_or(&form, "stopped", false);
    form_choice_or(&form, "stopped_by", limits, 0);
    form_number(&form, "ms", 0, 1e12);
    const json_t *effort = form_object(&form, "effort");
    const json_t *change = form_object(&form, "change");
    form_object(&form, "offer");
    const json_t *joins = form_array(&form, "joins", 0, RUNS_MOST);
    const json_t *unmet = form_array(&form, "unmet", 0, RUNS_MOST);
    const json_t *buy = form_array(&form, "buy", 0, RUNS_MOST);
    const json_t *runs = form_array(&form, "bars", 0, RUNS_MOST);
    if (!form_close(&form))
        return false;
    if (!facts_choose(facts, joins, fault))
        return false;
    for (size_t i = 0; i < json_array_size(runs); i++)
        if (!check_run(json_array_get(runs, i), (long)i, facts, &sums, fault))
            return false;
    json_t *seen = json_object();
    bool matched = check_batches(runs, facts, seen, fault);
    json_decref(seen);
    if (!matched)
        return false;
    bool explained;
    if (!check_unmet(unmet, facts, fault) || !check_buy(buy, facts, fault) ||
        !shortage_check(facts, unmet, &explained, fault) || !change_check(facts, runs, change, fault) ||
        !effort_check(facts, runs, effort, fault))
        return false;
    if (facts->places >= 0 && sums.returned > facts->places)
        return fault_set(fault, "bad-plan", "bars", "More remainders go back than there are places.");
    if (sums.cost != cost)
        return fault_set(fault, "bad-plan", "cost", "The bars and remainders add up to %.1f.",
                         (double)sums.cost / 10);
    if (bound > cost)
        return fault_set(fault, "bad-plan", "bound", "The bound is above the cost.");
    if (proven && (bound != cost || !explained))
        return fault_set(fault, "bad-plan", "proven",
                         "Nothing is proven: cost and bound differ, or pieces are left out without a proof.");
    return check_bound(facts, proof, certificate, (int64_t)bound, fault);
}

bool plan_check(const json_t *problem, const json_t *plan, struct fault *fault) {
    struct facts facts;
    if (!facts_read(problem, &facts, fault))
        return false;
    bool fine = check_whole(plan, &facts, fault);
    facts_free(&facts);
    return fine;
}
