/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_again.h"

#include "common/text.h"

#include <inttypes.h>
#include <stdio.h>

static bool say(struct store_session *session, int64_t job, int64_t first, const char *station,
                struct fault *fault) {
    struct store_values values = {0};
    char words[200];
    snprintf(words, sizeof words,
             "what may have come out is printed again by print job %" PRId64 " at %s, as reprints", first,
             station);
    store_integer(&values, job);
    store_text(&values, words);
    return store_run_nothing(session, &query_print_say, &values, fault);
}

bool print_again(struct store_session *session, int64_t workshop, int64_t job, const char *station,
                 int64_t *first, struct fault *fault) {
    struct store_values values = {0};
    json_t *rest = NULL, *asked = NULL;
    store_integer(&values, job);
    if (!store_run_json(session, &query_print_rest, &values, &rest, fault))
        return false;
    store_integer(&values, workshop);
    store_text(&values, json_string_value(json_object_get(rest, "kind")));
    store_json(&values, json_object_get(rest, "items"));
    store_text(&values, station);
    bool good = store_run_json(session, &query_print_enqueue, &values, &asked, fault);
    json_decref(rest);
    if (!good)
        return false;
    *first = json_integer_value(json_array_get(json_object_get(asked, "jobs"), 0));
    json_decref(asked);
    return say(session, job, *first, station, fault);
}

bool print_wished_station(struct store_session *session, int64_t job, char station[64], struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, job);
    if (!store_run_one(session, &query_print_wished, &values, &rows, fault))
        return false;
    text_copy(station, 64, rows_text(&rows, 0, 0));
    rows_free(&rows);
    return true;
}
