/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/change_check.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY_HEAD = 96 };

static int by_text(const void *left, const void *right) {
    return strcmp(*(const char *const *)left, *(const char *const *)right);
}

/* What makes two bars alike: the bar's kind, and its pieces in whatever order. NULL for want of memory; freed by the
 * caller. */
static char *key_of(const struct fact_bar *bar, int64_t length, const json_t *pieces) {
    size_t count = json_array_size(pieces), size = KEY_HEAD, used;
    const char **names = malloc((count + 1) * sizeof *names);
    if (names == NULL)
        return NULL;
    for (size_t i = 0; i < count; i++) {
        const char *name = json_string_value(json_array_get(pieces, i));
        names[i] = name ? name : "";
        size += strlen(names[i]) + 1;
    }
    qsort(names, count, sizeof *names, by_text);
    char *key = malloc(size);
    if (key != NULL) {
        used = bar == NULL ? (size_t)snprintf(key, size, "%" PRId64, length)
                           : (size_t)snprintf(key, size, "%" PRId64 " %" PRId64 " %d", bar->length,
                                              bar->value, bar->squared);
        for (size_t i = 0; i < count; i++)
            used += (size_t)snprintf(key + used, size - used, "\n%s", names[i]);
    }
    free(names);
    return key;
}

static bool add_to(json_t *counts, char *key, int64_t more) {
    bool fine = key != NULL &&
                json_object_set_new(
                    counts, key, json_integer(json_integer_value(json_object_get(counts, key)) + more)) == 0;
    free(key);
    return fine;
}

/* How many bars of `key` there are of `more` still to be met; takes them away. */
static int64_t take_from(json_t *counts, const char *key, int64_t more) {
    int64_t there = json_integer_value(json_object_get(counts, key)), taken = there < more ? there : more;
    if (taken > 0)
        json_object_set_new(counts, key, json_integer(there - taken));
    return taken;
}

static bool count_runs(const struct facts *facts, const json_t *runs, json_t *exact, json_t *by_length) {
    bool fine = exact != NULL && by_length != NULL;
    for (size_t i = 0; fine && i < json_array_size(runs); i++) {
        const json_t *run = json_array_get(runs, i), *pieces = json_object_get(run, "pieces");
        const struct fact_bar *bar = facts_bar(facts, json_string_value(json_object_get(run, "bar")));
        int64_t count = json_integer_value(json_object_get(run, "count"));
        fine = add_to(exact, key_of(bar, 0, pieces), count) &&
               add_to(by_length, key_of(NULL, bar->length, pieces), count);
    }
    return fine;
}

/* A bar that is named is met by one of its kind, another by one of its length. */
static bool count_kept(const struct facts *facts, json_t *exact, json_t *by_length, int64_t *kept,
                       int64_t *earlier) {
    const json_t *one;
    size_t at;
    json_array_foreach((json_t *)facts->previous, at, one) {
        const char *name = json_string_value(json_object_get(one, "bar"));
        const struct fact_bar *bar = name ? facts_bar(facts, name) : NULL;
        const json_t *pieces = json_object_get(one, "pieces"), *given = json_object_get(one, "length");
        ell_length length = 0;
        int64_t count = json_object_get(one, "count") ? json_integer_value(json_object_get(one, "count")) : 1;
        if (given != NULL && !ell_length_from_mm(json_number_value(given), &length))
            length = 0;
        char *key = key_of(bar, length, pieces);
        if (key == NULL)
            return false;
        *kept += take_from(bar != NULL ? exact : by_length, key, count);
        *earlier += count;
        free(key);
    }
    return true;
}

bool change_check(const struct facts *facts, const json_t *runs, const json_t *change, struct fault *fault) {
    if (json_array_size(facts->previous) == 0 || change == NULL)
        return (change == NULL && json_array_size(facts->previous) == 0) ||
               fault_set(fault, "bad-plan", "change", "It goes with the problem's earlier bars.");
    struct form form;
    form_open(&form, change, "change", fault);
    int64_t told = form_integer(&form, "earlier", 0, INT64_MAX),
            possible = form_integer(&form, "possible", 0, told);
    int64_t said = form_integer(&form, "kept", 0, INT64_MAX),
            bound = form_integer(&form, "bound", 0, INT64_MAX);
    if (!form_close(&form))
        return false;
    int64_t kept = 0, earlier = 0;
    json_t *exact = json_object(), *by_length = json_object();
    bool fine =
        (count_runs(facts, runs, exact, by_length) && count_kept(facts, exact, by_length, &kept, &earlier)) ||
        fault_memory(fault);
    json_decref(exact);
    json_decref(by_length);
    if (fine && (said > kept || said > bound || bound > possible || told != earlier))
        return fault_set(fault, "bad-plan", "change", "%" PRId64 " of %" PRId64 " earlier bars are kept.",
                         kept, earlier);
    return fine;
}
