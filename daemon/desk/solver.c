/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/solver.h"

#include "common/text.h"
#include "cutting/check/plan_check.h"
#include "cutting/cutting.h"

#include <pthread.h>
#include <stdlib.h>
#include <time.h>

struct solver {
    pthread_t thread;
    pthread_mutex_t mutex; /* guards done and news */
    pthread_cond_t ended;
    bool done;
    struct solver_news news;
    atomic_bool cancel;
    double seconds;
    const json_t *document;
    struct cutting_problem problem;
    json_t *result; /* the thread's until done */
    struct fault fault;
};

static bool report(void *data, const struct cutting_progress *progress) {
    struct solver *solver = data;
    pthread_mutex_lock(&solver->mutex);
    solver->news.serial++;
    solver->news.best = progress->has_best ? progress->best : INT64_MAX;
    solver->news.bound = progress->bound;
    text_copy(solver->news.phase, sizeof solver->news.phase, progress->phase);
    pthread_mutex_unlock(&solver->mutex);
    return true;
}

static json_t *solve(struct solver *solver, struct fault *fault) {
    struct cutting_options options = cutting_options_default();
    options.seconds = solver->seconds;
    options.cancel = &solver->cancel;
    options.progress = report;
    options.progress_data = solver;
    struct cutting_plan plan = {0};
    if (!cutting_solve(&solver->problem, &options, &plan, fault))
        return NULL;
    json_t *result = cutting_plan_write(&solver->problem, &plan);
    cutting_plan_free(&plan);
    if (result == NULL)
        fault_memory(fault);
    else if (plan_check(solver->document, result, fault))
        return result;
    json_decref(result);
    return NULL;
}

static void *work(void *data) {
    struct solver *solver = data;
    json_t *result = solve(solver, &solver->fault);
    pthread_mutex_lock(&solver->mutex);
    solver->result = result;
    solver->done = true;
    pthread_cond_signal(&solver->ended);
    pthread_mutex_unlock(&solver->mutex);
    return NULL;
}

static void free_solver(struct solver *solver) {
    cutting_problem_free(&solver->problem);
    pthread_cond_destroy(&solver->ended);
    pthread_mutex_destroy(&solver->mutex);
    free(solver);
}

static struct solver *new_solver(const json_t *problem, double seconds) {
    struct solver *solver = calloc(1, sizeof *solver);
    if (solver == NULL)
        return NULL;
    pthread_condattr_t attributes;
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_cond_init(&solver->ended, &attributes);
    pthread_condattr_destroy(&attributes);
    pthread_mutex_init(&solver->mutex, NULL);
    atomic_init(&solver->cancel, false);
    solver->document = problem;
    solver->seconds = seconds;
    return solver;
}

struct solver *solver_start(const json_t *problem, double seconds, struct fault *fault) {
    struct solver *solver = new_solver(problem, seconds);
    if (solver == NULL) {
        fault_memory(fault);
        return NULL;
    }
    bool good = cutting_problem_read(problem, &solver->problem, fault);
    if (good && pthread_create(&solver->thread, NULL, work, solver) != 0)
        good = fault_set(fault, "no-thread", "", "The system gives no thread to solve the plan in.");
    if (good)
        return solver;
    free_solver(solver);
    return NULL;
}

bool solver_wait(struct solver *solver, int timeout_ms) {
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_nsec += timeout_ms * 1000000L;
    until.tv_sec += until.tv_nsec / 1000000000L;
    until.tv_nsec %= 1000000000L;
    pthread_mutex_lock(&solver->mutex);
    int result = 0;
    while (!solver->done && result == 0)
        result = pthread_cond_timedwait(&solver->ended, &solver->mutex, &until);
    bool done = solver->done;
    pthread_mutex_unlock(&solver->mutex);
    return done;
}

void solver_news(struct solver *solver, struct solver_news *news) {
    pthread_mutex_lock(&solver->mutex);
    *news = solver->news;
    pthread_mutex_unlock(&solver->mutex);
}

void solver_stop(struct solver *solver) {
    atomic_store(&solver->cancel, true);
}

json_t *solver_end(struct solver **solver, struct fault *fault) {
    struct solver *ending = *solver;
    pthread_join(ending->thread, NULL);
    json_t *result = ending->result;
    if (result == NULL)
        *fault = ending->fault;
    free_solver(ending);
    *solver = NULL;
    return result;
}
