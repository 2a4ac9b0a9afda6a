/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/planner.h"

#include "common/log.h"

#include <inttypes.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    LOOK_MS = 2000,  /* between looks for plans whose lease ran out elsewhere */
    TICK_MS = 25,    /* between looks at a running solver and at the news */
    NEWS_MS = 250,   /* between reports of progress: at most 4 a second */
    RENEW_MS = 1000, /* between renewals of the lease */
    TRIES = 5        /* of solving again what others changed meanwhile */
};

struct planner {
    struct desk *desk;
    struct store_listener *listener; /* hears plan.cancel at once */
    pthread_t thread;
};

/* A run of the solver, watched. */
struct watch {
    struct planner *planner;
    struct planning *planning;
    struct solver *solver;
    int64_t told_at, renewed_at;
    unsigned long told;
    bool stop, closing;
};

static bool is_cancel_of(const char *payload, int64_t plan) {
    json_t *event = json_loads(payload, 0, NULL);
    const char *topic = json_string_value(json_object_get(event, "topic"));
    bool cancel = topic != NULL &&
                  (strcmp(topic, "plan.cancel") == 0 || strcmp(topic, "plan.dropped") == 0) &&
                  json_integer_value(json_object_get(json_object_get(event, "body"), "plan")) == plan;
    json_decref(event);
    return cancel;
}

static void hear(struct watch *watch) {
    char payload[8192];
    while (store_listen_next(watch->planner->listener, 0, payload, sizeof payload))
        watch->stop |= payload[0] != '\0' && is_cancel_of(payload, watch->planning->plan);
}

/* What fails here is tried again at the next turn; the lease outlasts several. */
static void keep_up(struct watch *watch) {
    struct fault fault;
    struct solver_news news;
    int64_t now = desk_now_ms();
    solver_news(watch->solver, &news);
    if (news.serial != watch->told && now - watch->told_at >= NEWS_MS) {
        watch->told_at = now;
        if (planner_tell(watch->planning, &news, &fault))
            watch->told = news.serial;
    }
    if (now - watch->renewed_at >= RENEW_MS) {
        bool stop;
        watch->renewed_at = now;
        if (planner_renew(watch->planning, &stop, &fault))
            watch->stop |= stop;
    }
}

static json_t *watch_solver(struct watch *watch, struct fault *fault) {
    watch->renewed_at = desk_now_ms();
    while (!solver_wait(watch->solver, TICK_MS)) {
        hear(watch);
        keep_up(watch);
        watch->closing = wake_is_closing(&watch->planner->desk->planner_wake);
        if (watch->stop || watch->closing)
            solver_stop(watch->solver);
    }
    hear(watch);
    return solver_end(&watch->solver, fault);
}

/* These two say what becomes of a plan that was not stored. The database may be away; the lease then sees to
 * it. */
static void give_up(struct planning *planning, const char *state, const char *why) {
    struct fault fault;
    if (!planner_end(planning, state, why, &fault))
        log_fault("plan left to its lease", &fault);
}

static void give_back(struct planning *planning) {
    struct fault fault;
    if (!planner_requeue(planning, &fault))
        log_fault("plan left to its lease", &fault);
}

/* "2 bars of 6000 mm, 1 bar of 5000 mm"; "" when nothing is to be bought. */
static void list_buys(const json_t *result, char text[160]) {
    const json_t *buys = json_object_get(result, "buy"), *buy;
    size_t at, used = 0;
    text[0] = '\0';
    json_array_foreach((json_t *)buys, at, buy) {
        const char *name = json_string_value(json_object_get(buy, "bar"));
        json_int_t count = json_integer_value(json_object_get(buy, "count"));
        if (name == NULL || used + 40 > 160)
            break;
        /* The lines of plan/problem.sql that can be bought are named "new LENGTH". */
        used += (size_t)snprintf(text + used, 160 - used, "%s%lld bar%s of %.12s mm", at > 0 ? ", " : "",
                                 (long long)count, count == 1 ? "" : "s",
                                 strncmp(name, "new ", 4) == 0 ? name + 4 : name);
    }
}

static const char *why_empty(const json_t *result, char why[256]) {
    char buys[160];
    size_t unmet = json_array_size(json_object_get(result, "unmet"));
    list_buys(result, buys);
    if (buys[0] != '\0')
        snprintf(why, 256,
                 "Nothing free on the rack is long enough for any of the %zu waiting pieces. Get %s.", unmet,
                 buys);
    else
        snprintf(why, 256, "Nothing on the rack can be cut to any of the %zu waiting pieces on this saw.",
                 unmet);
    return why;
}

/* False when it should be solved again. */
static bool keep_result(struct planning *planning, const json_t *result) {
    struct fault fault;
    enum planner_stored stored;
    char why[256];
    if (json_array_size(json_object_get(result, "bars")) == 0) {
        give_up(planning, "failed", why_empty(result, why));
        return true;
    }
    if (!planner_store(planning, result, &stored, &fault)) {
        log_fault("plan left to its lease", &fault);
        return true;
    }
    if (stored == PLANNER_LOST)
        give_up(planning, "dropped", "Stopped as asked.");
    return stored != PLANNER_CHANGED;
}

/* Solves the problem that was read and stores the result. False when others changed what it was made of. */
static bool solve_and_keep(struct planner *planner, struct planning *planning) {
    struct fault fault;
    struct watch watch = {.planner = planner, .planning = planning};
    watch.solver = solver_start(planning->problem, planning->time_limit_ms / 1000.0, &fault);
    json_t *result = watch.solver == NULL ? NULL : watch_solver(&watch, &fault);
    bool finished = true;
    if (watch.closing)
        give_back(planning);
    else if (watch.stop)
        give_up(planning, "dropped", "Stopped as asked.");
    else if (result == NULL)
        give_up(planning, "failed", fault.message);
    else
        finished = keep_result(planning, result);
    json_decref(result);
    return finished;
}

static bool plan_once(struct planner *planner, struct planning *planning) {
    struct fault fault;
    if (!planner_read(planning, &fault)) {
        log_fault("plan left to its lease", &fault);
        return true;
    }
    if (planning->problem != NULL)
        return solve_and_keep(planner, planning);
    give_up(planning, "failed", "No piece of this system and finish is waiting any more.");
    return true;
}

static void plan(struct planner *planner, struct planning *planning) {
    int tries = 0;
    while (!plan_once(planner, planning))
        if (++tries == TRIES) {
            give_up(planning, "failed",
                    "Pieces or bars kept changing while it was solved; ask for a plan again.");
            break;
        }
    json_decref(planning->problem);
}

/* Everything that is queued, one after the other. */
static void work_off(struct planner *planner) {
    struct fault fault;
    bool claimed = true;
    while (claimed && !wake_is_closing(&planner->desk->planner_wake)) {
        struct planning planning = {.desk = planner->desk};
        if (!planner_claim(&planning, &claimed, &fault))
            return;
        if (claimed)
            plan(planner, &planning);
    }
}

static void *run(void *data) {
    struct planner *planner = data;
    unsigned long heard = 0;
    do
        work_off(planner);
    while (wake_wait(&planner->desk->planner_wake, &heard, LOOK_MS));
    return NULL;
}

bool planner_start(struct desk *desk, struct planner **planner, struct fault *fault) {
    struct planner *starting = calloc(1, sizeof *starting);
    if (starting == NULL)
        return fault_memory(fault);
    starting->desk = desk;
    bool good = store_listen(desk->store, "ellwand_event", &starting->listener, fault);
    if (good && pthread_create(&starting->thread, NULL, run, starting) != 0)
        good = fault_set(fault, "no-thread", "", "The system gives no thread for the planner.");
    if (!good) {
        store_unlisten(&starting->listener);
        free(starting);
        return false;
    }
    *planner = starting;
    return true;
}

void planner_stop(struct planner **planner) {
    if (*planner == NULL)
        return;
    pthread_join((*planner)->thread, NULL);
    store_unlisten(&(*planner)->listener);
    free(*planner);
    *planner = NULL;
}
