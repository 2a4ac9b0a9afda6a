/* The print worker's transactions. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_worker.h"

#include "common/text.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { DEADLINE_MS = 5000 };

struct step {
    struct desk *desk;
    const char *station, *words;
    const struct print_attempt *attempt;
    const struct print_outcome *outcome;
    json_t *answer;
};

static bool identify(struct store_session *session, const struct step *step, const char *reason,
                     struct fault *fault) {
    struct store_values values = {0};
    store_text(&values, reason);
    return store_identity(session, "printer", step->desk->instance, fault) &&
           store_run_nothing(session, &query_session_reason, &values, fault);
}

static bool claim(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    json_decref(step->answer);
    step->answer = NULL;
    store_integer(&values, step->desk->workshop);
    store_text(&values, step->desk->instance);
    store_text(&values, step->station);
    if (!identify(session, step, "its turn to be printed", fault)) {
        store_values_clear(&values);
        return false;
    }
    return store_run_json(session, &query_print_claim, &values, &step->answer, fault);
}

static bool read_attempt(const json_t *claimed, struct print_attempt *attempt, struct fault *fault) {
    attempt->job = json_integer_value(json_object_get(claimed, "job"));
    attempt->number = (int)json_integer_value(json_object_get(claimed, "attempt"));
    attempt->cups_job = (int)json_integer_value(json_object_get(claimed, "cups_job"));
    attempt->resumed = json_is_true(json_object_get(claimed, "resumed"));
    attempt->folder = json_is_true(json_object_get(claimed, "folder"));
    attempt->sent = strcmp(json_string_value(json_object_get(claimed, "state")), "printing") == 0;
    text_copy(attempt->kind, sizeof attempt->kind, json_string_value(json_object_get(claimed, "kind")));
    text_copy(attempt->target, sizeof attempt->target, json_string_value(json_object_get(claimed, "target")));
    snprintf(attempt->name, sizeof attempt->name, "ellwand-%s-%" PRId64 "-%d", attempt->desk->workshop_name,
             attempt->job, attempt->number);
    attempt->payload = json_incref(json_object_get(claimed, "payload"));
    return label_stock_read(json_object_get(claimed, "stock"), "label_stock", &attempt->stock, fault);
}

bool print_claim(struct desk *desk, const char *station, struct print_attempt *attempt, bool *claimed,
                 struct fault *fault) {
    struct step step = {.desk = desk, .station = station};
    *attempt = (struct print_attempt){.desk = desk};
    *claimed = false;
    attempt->server.patience = PRINT_PATIENCE_MS;
    text_copy(attempt->server.name, sizeof attempt->server.name, desk->cups_server);
    if (!store_transaction(desk->store, store_deadline(DEADLINE_MS), claim, &step, fault))
        return false;
    if (step.answer == NULL)
        return true;
    *claimed = read_attempt(step.answer, attempt, fault);
    json_decref(step.answer);
    if (!*claimed)
        print_attempt_free(attempt);
    return *claimed;
}

void print_attempt_free(struct print_attempt *attempt) {
    json_decref(attempt->payload);
    attempt->payload = NULL;
}

static bool settle(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    if (!identify(session, step,
                  step->outcome->words[0] != '\0' ? step->outcome->words : step->outcome->state, fault))
        return false;
    store_integer(&values, step->desk->workshop);
    store_integer(&values, step->attempt->job);
    store_integer(&values, step->attempt->number);
    store_text(&values, step->desk->instance);
    store_text(&values, step->outcome->state);
    if (step->outcome->cups_job != 0)
        store_integer(&values, step->outcome->cups_job);
    else
        store_null(&values);
    store_text(&values, step->outcome->words);
    store_integer(&values, step->outcome->again_ms);
    return store_run_nothing(session, &query_print_settle, &values, fault);
}

bool print_settle(const struct print_attempt *attempt, const struct print_outcome *outcome,
                  struct fault *fault) {
    struct step step = {.desk = attempt->desk, .attempt = attempt, .outcome = outcome};
    return store_transaction(attempt->desk->store, store_deadline(DEADLINE_MS), settle, &step, fault);
}

static bool list_stations(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    json_decref(step->answer);
    step->answer = NULL;
    store_integer(&values, step->desk->workshop);
    return store_run_json(session, &query_station_each, &values, &step->answer, fault);
}

json_t *print_stations(struct desk *desk, struct fault *fault) {
    struct step step = {.desk = desk};
    if (store_reading(desk->store, store_deadline(DEADLINE_MS), list_stations, &step, fault))
        return step.answer;
    json_decref(step.answer);
    return NULL;
}

static bool note_seen(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    store_integer(&values, step->desk->workshop);
    store_text(&values, step->station);
    store_text(&values, step->words);
    return store_run_nothing(session, &query_station_seen, &values, fault);
}

bool print_station_seen(struct desk *desk, const char *station, const char *words, struct fault *fault) {
    struct step step = {.desk = desk, .station = station, .words = words};
    return store_transaction(desk->store, store_deadline(DEADLINE_MS), note_seen, &step, fault);
}

static bool let_go(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    store_integer(&values, step->desk->workshop);
    store_text(&values, step->desk->instance);
    return store_run_nothing(session, &query_print_let_go, &values, fault);
}

bool print_let_go(struct desk *desk, struct fault *fault) {
    struct step step = {.desk = desk};
    return store_transaction(desk->store, store_deadline(DEADLINE_MS), let_go, &step, fault);
}
