/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/effort_check.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

struct counted {
    int64_t setups, loads, open_kits, returned;
};

static const struct fact_piece *piece_at(const struct facts *facts, const json_t *run, size_t at) {
    return facts_piece(facts, json_string_value(json_array_get(json_object_get(run, "pieces"), at)));
}

/* Whether the saw stays as it is from one run to the next: equal bars, and equal pieces in the same order. */
static bool same_stops(const struct facts *facts, const json_t *one, const json_t *other) {
    const struct fact_bar *a = facts_bar(facts, json_string_value(json_object_get(one, "bar"))),
                          *b = facts_bar(facts, json_string_value(json_object_get(other, "bar")));
    size_t count = json_array_size(json_object_get(one, "pieces"));
    bool same = a->length == b->length && a->squared == b->squared &&
                count == json_array_size(json_object_get(other, "pieces"));
    for (size_t i = 0; same && i < count; i++)
        same = piece_at(facts, one, i)->length == piece_at(facts, other, i)->length;
    return same;
}

static void count_setups(const struct facts *facts, const json_t *runs, struct counted *counted) {
    int64_t bars = 0;
    for (size_t i = 0; i < json_array_size(runs); i++) {
        const json_t *run = json_array_get(runs, i), *next = json_array_get(runs, i + 1);
        bars += json_integer_value(json_object_get(run, "count"));
        if (json_is_true(json_object_get(run, "returns")))
            counted->returned += json_integer_value(json_object_get(run, "count"));
        if (next != NULL && same_stops(facts, run, next))
            continue;
        counted->setups++;
        counted->loads += (bars + facts->gang - 1) / facts->gang;
        bars = 0;
    }
}

/* A kit is open from the first to the last run that has a piece of it. */
static bool count_kits(const struct facts *facts, const json_t *runs, struct counted *counted,
                       struct fault *fault) {
    size_t count = json_array_size(runs);
    json_t *last = json_object(), *begun = json_object();
    int64_t *ending = calloc(count + 1, sizeof *ending), open = 0;
    bool fine = last != NULL && begun != NULL && ending != NULL;
    for (size_t i = 0; fine && i < count; i++)
        for (size_t n = 0; n < json_array_size(json_object_get(json_array_get(runs, i), "pieces")); n++) {
            const char *kit = piece_at(facts, json_array_get(runs, i), n)->kit;
            fine = fine && (kit == NULL || json_object_set_new(last, kit, json_integer((json_int_t)i)) == 0);
        }
    for (size_t i = 0; fine && i < count; i++) {
        for (size_t n = 0; n < json_array_size(json_object_get(json_array_get(runs, i), "pieces")); n++) {
            const char *kit = piece_at(facts, json_array_get(runs, i), n)->kit;
            if (kit == NULL || json_object_get(begun, kit) != NULL)
                continue;
            fine = fine && json_object_set_new(begun, kit, json_true()) == 0;
            ending[json_integer_value(json_object_get(last, kit))]++;
            open++;
        }
        counted->open_kits = open > counted->open_kits ? open : counted->open_kits;
        open -= ending[i];
    }
    json_decref(last);
    json_decref(begun);
    free(ending);
    return fine || fault_memory(fault);
}

static void compare(struct form *effort, const char *name, int64_t counted, struct fault *fault) {
    struct form form;
    const json_t *figure = form_object(effort, name);
    if (figure == NULL)
        return;
    form_open(&form, figure, name, fault);
    form_integer(&form, "before", 0, INT64_MAX);
    int64_t after = form_integer(&form, "after", 0, INT64_MAX),
            bound = form_integer_or(&form, "bound", 0, INT64_MAX, 0);
    if (form_close(&form) && (after != counted || bound > after))
        form_wrong(effort, name, "bad-plan", "%" PRId64 " are counted.", counted);
    effort->failed = effort->failed || form.failed;
}

bool effort_check(const struct facts *facts, const json_t *runs, const json_t *effort, struct fault *fault) {
    struct counted counted = {0};
    struct form form;
    if (effort == NULL)
        return true;
    count_setups(facts, runs, &counted);
    if (!count_kits(facts, runs, &counted, fault))
        return false;
    form_open(&form, effort, "effort", fault);
    compare(&form, "setups", counted.setups, fault);
    compare(&form, "loads", counted.loads, fault);
    compare(&form, "open_kits", counted.open_kits, fault);
    compare(&form, "returned", counted.returned, fault);
    return form_close(&form);
}
