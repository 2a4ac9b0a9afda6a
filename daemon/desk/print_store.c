/* The print worker's transactions. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_worker.h"

#include "common/text.h"
#include "desk/print_again.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { DEADLINE_MS = 5000 };

struct step {
    struct desk *desk;
    const char *station, *words;
    bool ready;
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
    store_boolean(&values, step->ready);
    if (!identify(session, step, "its turn to be printed", fault)) {
        store_values_clear(&values);
        return false;
    }
    return store_run_json(session, &query_print_claim, &values, &step->answer, fault);
}

static void read_progress(const json_t *claimed, struct print_attempt *attempt) {
    const char *wish = json_string_value(json_object_get(claimed, "wish"));
    const json_t *payload = json_object_get(claimed, "payload");
    const json_t *page_ends = json_object_get(claimed, "page_ends");
    attempt->labels = json_integer_value(json_object_get(claimed, "labels"));
    attempt->done = json_integer_value(json_object_get(claimed, "done"));
    attempt->to_cancel = wish != NULL && strcmp(wish, "cancel") == 0;
    attempt->to_move = wish != NULL && strcmp(wish, "move") == 0;
    attempt->payload = json_is_array(payload) ? json_incref((json_t *)payload) : NULL;
    attempt->page_ends = json_is_array(page_ends) ? json_incref((json_t *)page_ends) : NULL;
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
    read_progress(claimed, attempt);
    if (!label_stock_read(json_object_get(claimed, "stock"), "label_stock", &attempt->stock, fault))
        return false;
    attempt->stock.used = (int)json_integer_value(json_object_get(claimed, "first_place")) - 1;
    return true;
}

bool print_claim(struct desk *desk, const char *station, bool ready, struct print_attempt *attempt,
                 bool *claimed, struct fault *fault) {
    struct step step = {.desk = desk, .station = station, .ready = ready};
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
    json_decref(attempt->page_ends);
    attempt->payload = attempt->page_ends = NULL;
}

/* What the statement takes beside the state; NULL and fault without memory. */
static json_t *outcome_rest(const struct print_outcome *outcome, struct fault *fault) {
    json_t *rest = json_pack("{s:I, s:b, s:O?}", "done", (json_int_t)outcome->done, "unsure",
                             (int)outcome->unsure, "page_ends", outcome->page_ends);
    if (rest == NULL)
        fault_memory(fault);
    else if (outcome->page_ends == NULL)
        json_object_del(rest, "page_ends");
    if (rest != NULL && outcome->free_place > 0)
        json_object_set_new(rest, "free_place", json_integer(outcome->free_place));
    return rest;
}

static bool write_outcome(struct store_session *session, const struct step *step, struct fault *fault) {
    struct store_values values = {0};
    json_t *rest = outcome_rest(step->outcome, fault);
    if (rest == NULL)
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
    store_json(&values, rest);
    json_decref(rest);
    json_t *noted = NULL;
    bool good = store_run_json(session, &query_print_settle, &values, &noted, fault);
    if (good && !json_is_true(noted))
        good = fault_set(fault, "conflict", "print job", "Somebody else has print job %" PRId64 " by now.",
                         step->attempt->job);
    json_decref(noted);
    return good;
}

static bool settle(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    const struct print_outcome *outcome = step->outcome;
    const char *words = outcome->words[0] != '\0' ? outcome->words : outcome->state;
    int64_t job = step->attempt->job, again;
    char station[64] = "";
    if (!identify(session, step, words, fault))
        return false;
    if (!outcome->again_marked)
        return write_outcome(session, step, fault);
    /* The place that it was to move to is forgotten with the note. */
    return print_wished_station(session, job, station, fault) && write_outcome(session, step, fault) &&
           print_again(session, step->desk->workshop, job, station, &again, fault);
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
    return store_run_json(session, &query_station_codes, &values, &step->answer, fault);
}

json_t *print_stations(struct desk *desk, struct fault *fault) {
    struct step step = {.desk = desk};
    if (store_reading(desk->store, store_deadline(DEADLINE_MS), list_stations, &step, fault))
        return step.answer;
    json_decref(step.answer);
    return NULL;
}

static bool read_station(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    json_decref(step->answer);
    step->answer = NULL;
    store_integer(&values, step->desk->workshop);
    store_text(&values, step->station);
    return store_run_json(session, &query_station_one, &values, &step->answer, fault);
}

json_t *print_station(struct desk *desk, const char *station, struct fault *fault) {
    struct step step = {.desk = desk, .station = station};
    if (store_reading(desk->store, store_deadline(DEADLINE_MS), read_station, &step, fault))
        return step.answer != NULL ? step.answer : json_null();
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
