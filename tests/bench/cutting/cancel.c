/* cancel [--windows N]: how long after a cancel the best plan so far comes back.
 * SPDX-License-Identifier: Apache-2.0 */
#include "cutting/cutting.h"
#include "workshop.h"

#include <argp.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

/* Moments of the cancel, in milliseconds, each tried with so many problems. */
static const double moments[] = {1, 3, 10, 20, 40, 80, 160, 320, 640};
enum { MOMENTS = sizeof moments / sizeof moments[0], PROBLEMS = 4 };

struct canceller {
    atomic_bool cancel, done;
    double after, cancelled_at, unsure; /* how far apart in time the cancel may be from when it is noted */
    clockid_t solver; /* processor time of the solving thread: other work on the machine does not count */
};

static double read_clock(clockid_t clock) {
    struct timespec now;
    clock_gettime(clock, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static void *cancel_later(void *data) {
    struct canceller *canceller = data;
    double until = read_clock(canceller->solver) + canceller->after;
    while (read_clock(canceller->solver) < until && !atomic_load(&canceller->done))
        nanosleep(&(struct timespec){0, 200000}, NULL);
    canceller->cancelled_at = read_clock(canceller->solver);
    atomic_store(&canceller->cancel, true);
    canceller->unsure = read_clock(canceller->solver) - canceller->cancelled_at;
    return NULL;
}

/* Seconds from the cancel to the plan; below 0: it was finished before, or the cancelling thread had to wait. */
static bool cancelled(const struct cutting_problem *problem, double after, double *late) {
    struct cutting_options options = cutting_options_default();
    struct canceller canceller = {.after = after};
    struct cutting_plan plan;
    struct fault fault;
    pthread_t thread;
    options.seconds = 0;
    options.cancel = &canceller.cancel;
    if (pthread_getcpuclockid(pthread_self(), &canceller.solver) != 0 ||
        pthread_create(&thread, NULL, cancel_later, &canceller) != 0)
        return false;
    bool fine = cutting_solve(problem, &options, &plan, &fault);
    double now = read_clock(canceller.solver);
    atomic_store(&canceller.done, true);
    pthread_join(thread, NULL);
    if (!fine)
        return false;
    *late = canceller.unsure < 0.001 ? now - canceller.cancelled_at : -1;
    cutting_plan_free(&plan);
    return true;
}

static int by_number(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

static bool bench(int windows, bool batches) {
    double late[MOMENTS * PROBLEMS];
    size_t count = 0, types = 0;
    for (int p = 0; p < PROBLEMS; p++) {
        struct cutting_problem problem;
        if (!workshop_group((uint64_t)p + 5, windows, 40, 80, &problem))
            return false;
        for (size_t i = 0; batches && i < problem.piece_count; i++)
            if (problem.pieces[i].name[0] == 'W')
                snprintf(problem.pieces[i].batch_match, sizeof problem.pieces[i].batch_match, "%d",
                         (int)strtol(problem.pieces[i].name + 1, NULL, 10));
        types = problem.piece_count;
        for (int m = 0; m < MOMENTS; m++) {
            double now;
            if (!cancelled(&problem, moments[m] / 1000, &now))
                return false;
            if (now > 0)
                late[count++] = now * 1000;
        }
        cutting_problem_free(&problem);
    }
    qsort(late, count, sizeof *late, by_number);
    if (count > 0)
        printf("{\"work\":\"cancel\",\"pieces\":%zu,\"batches\":%s,\"cancels\":%zu,\"median_ms\":%.1f,"
               "\"p90_ms\":%.1f,\"worst_ms\":%.1f}\n",
               types, batches ? "true" : "false", count, late[count / 2], late[count * 9 / 10],
               late[count - 1]);
    return true;
}

static error_t on_argument(int key, char *text, struct argp_state *state) {
    int *windows = state->input;
    if (key != 'w')
        return ARGP_ERR_UNKNOWN;
    *windows = (int)strtol(text, NULL, 10);
    return 0;
}

int main(int argc, char **argv) {
    static const struct argp_option options[] = {
        {"windows", 'w', "N", 0, "Windows of a problem, most of them of a length of their own (default 450)",
         0},
        {0}};
    static const struct argp argp = {
        options, on_argument, "", "Cancel the planning at many moments and time the answer.", 0, 0, 0};
    int windows = 450;
    argp_parse(&argp, argc, argv, 0, NULL, &windows);
    if (windows < 1 || windows > 100000) {
        fprintf(stderr, "1 to 100000 windows are taken.\n");
        return 2;
    }
    return bench(windows, false) && bench(windows, true) ? 0 : 1;
}
