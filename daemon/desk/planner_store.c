/* The planner's transactions. SPDX-License-Identifier: Apache-2.0 */
#include "desk/planner.h"

enum { LEASE_MS = 10000, DEADLINE_MS = 5000 };

struct step {
    struct planning *planning;
    const json_t *result;
    const struct solver_news *news;
    const char *state, *why;
    bool found, flag;
    enum planner_stored stored;
};

static bool run_step(struct planning *planning, bool (*work)(struct store_session *, void *, struct fault *),
                     struct step *step, struct fault *fault) {
    step->planning = planning;
    return store_transaction(planning->desk->store, store_deadline(DEADLINE_MS), work, step, fault);
}

static bool identify(struct store_session *session, const struct step *step, struct fault *fault) {
    struct store_values values = {0};
    store_text(&values, step->why != NULL && step->why[0] != '\0' ? step->why : "planned");
    return store_identity(session, "planner", step->planning->desk->instance, fault) &&
           store_run_nothing(session, &query_session_reason, &values, fault);
}

/* What most statements here start with: $1 the plan, $2 this daemon. */
static struct store_values ours(const struct step *step) {
    struct store_values values = {0};
    store_integer(&values, step->planning->plan);
    store_text(&values, step->planning->desk->instance);
    return values;
}

static bool claim(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, step->planning->desk->workshop);
    store_text(&values, step->planning->desk->instance);
    store_integer(&values, LEASE_MS);
    if (!identify(session, step, fault) || !store_run(session, &query_plan_claim, &values, &rows, fault))
        return false;
    step->found = rows_count(&rows) == 1;
    if (step->found) {
        step->planning->plan = rows_integer(&rows, 0, 0);
        step->planning->time_limit_ms = (int)rows_integer(&rows, 0, 1);
    }
    rows_free(&rows);
    return true;
}

bool planner_claim(struct planning *planning, bool *claimed, struct fault *fault) {
    struct step step = {0};
    bool good = run_step(planning, claim, &step, fault);
    *claimed = good && step.found;
    return good;
}

static bool read_problem(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    store_integer(&values, step->planning->plan);
    json_decref(step->planning->problem);
    step->planning->problem = NULL;
    return store_run_json(session, &query_plan_problem, &values, &step->planning->problem, fault);
}

bool planner_read(struct planning *planning, struct fault *fault) {
    struct step step = {.planning = planning};
    return store_reading(planning->desk->store, store_deadline(DEADLINE_MS), read_problem, &step, fault);
}

static bool renew(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = ours(step);
    struct store_rows rows = {0};
    store_integer(&values, LEASE_MS);
    if (!identify(session, step, fault) || !store_run(session, &query_plan_renew, &values, &rows, fault))
        return false;
    step->flag = rows_count(&rows) == 0 || rows_boolean(&rows, 0, 0);
    rows_free(&rows);
    return true;
}

bool planner_renew(struct planning *planning, bool *stop, struct fault *fault) {
    struct step step = {0};
    bool good = run_step(planning, renew, &step, fault);
    *stop = good && step.flag;
    return good;
}

static bool tell(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = {0};
    store_integer(&values, step->planning->desk->workshop);
    store_integer(&values, step->planning->plan);
    if (step->news->best != INT64_MAX)
        store_integer(&values, step->news->best);
    else
        store_null(&values);
    store_integer(&values, step->news->bound);
    store_text(&values, step->news->phase);
    return store_run_nothing(session, &query_plan_progress, &values, fault);
}

bool planner_tell(struct planning *planning, const struct solver_news *news, struct fault *fault) {
    struct step step = {.news = news};
    return run_step(planning, tell, &step, fault);
}

static bool announce(struct store_session *session, const struct step *step, const char *topic,
                     const char *why, struct fault *fault) {
    json_t *body = json_pack("{s:I, s:s*}", "plan", (json_int_t)step->planning->plan, "why", why);
    struct store_values values = {0};
    store_integer(&values, step->planning->desk->workshop);
    store_text(&values, topic);
    store_json(&values, body);
    bool good = store_run_nothing(session, &query_event_announce, &values, fault);
    json_decref(body);
    return good;
}

/* Whether the plan is still ours, locked. */
static bool hold(struct store_session *session, const struct step *step, bool *held, struct fault *fault) {
    struct store_values values = ours(step);
    struct store_rows rows = {0};
    if (!store_run(session, &query_plan_held_by, &values, &rows, fault))
        return false;
    *held = rows_count(&rows) == 1;
    rows_free(&rows);
    return true;
}

/* The splits before the bars: what is cut must have its length when it is planned. */
static bool take_splits(struct store_session *session, const struct step *step, bool *whole,
                        struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, step->planning->plan);
    store_json(&values, step->result);
    if (!store_run_one(session, &query_plan_take_splits, &values, &rows, fault))
        return false;
    *whole = rows_integer(&rows, 0, 0) == rows_integer(&rows, 0, 1);
    rows_free(&rows);
    return true;
}

static bool write_bars(struct store_session *session, const struct step *step, bool *whole,
                       struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, step->planning->plan);
    store_json(&values, step->planning->problem);
    store_json(&values, step->result);
    if (!store_run_one(session, &query_plan_store, &values, &rows, fault))
        return false;
    *whole = rows_integer(&rows, 0, 0) == rows_integer(&rows, 0, 1) &&
             rows_integer(&rows, 0, 2) == rows_integer(&rows, 0, 3);
    rows_free(&rows);
    return true;
}

static bool write_plan(struct store_session *session, const struct step *step, bool *whole,
                       struct fault *fault) {
    return take_splits(session, step, whole, fault) && (!*whole || write_bars(session, step, whole, fault));
}

/* A plan that does not fit any more is a fault of our own, so that nothing of it is kept. */
static bool store_result(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    bool held, whole;
    step->stored = PLANNER_LOST;
    if (!identify(session, step, fault) || !hold(session, step, &held, fault))
        return false;
    if (!held)
        return true;
    if (!write_plan(session, step, &whole, fault))
        return false;
    step->stored = whole ? PLANNER_STORED : PLANNER_CHANGED;
    if (!whole)
        return fault_set(fault, "changed", "",
                         "Pieces or bars of the plan were used otherwise while it was solved.");
    return announce(session, step, "plan.ready", NULL, fault);
}

bool planner_store(struct planning *planning, const json_t *result, enum planner_stored *stored,
                   struct fault *fault) {
    struct step step = {.result = result};
    bool good = run_step(planning, store_result, &step, fault);
    *stored = step.stored;
    return good || step.stored == PLANNER_CHANGED;
}

static bool end(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = ours(step);
    store_text(&values, step->why);
    store_text(&values, step->state);
    return identify(session, step, fault) && store_run_nothing(session, &query_plan_fail, &values, fault) &&
           announce(session, step, step->state[0] == 'f' ? "plan.failed" : "plan.dropped", step->why, fault);
}

bool planner_end(struct planning *planning, const char *state, const char *why, struct fault *fault) {
    struct step step = {.state = state, .why = why};
    return run_step(planning, end, &step, fault);
}

static bool requeue(struct store_session *session, void *state, struct fault *fault) {
    struct step *step = state;
    struct store_values values = ours(step);
    return identify(session, step, fault) && store_run_nothing(session, &query_plan_requeue, &values, fault);
}

bool planner_requeue(struct planning *planning, struct fault *fault) {
    struct step step = {0};
    return run_step(planning, requeue, &step, fault);
}
