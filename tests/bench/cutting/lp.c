/* lp [--time-limit S] FILE...: CLP beside GLPK on the very programs that the engine solves. The engine calls cutting/lp.h;
 * here that hands every call to both libraries, answers with CLP's figures and adds up the time that each takes to come to
 * an optimum. One JSON line for each file, one for a week of the workshop. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/lp.h"
#include "cutting/cutting.h"
#include "instances.h"
#include "workshop.h"

#include <argp.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* The two libraries under their own names; see lp_names.h. */
#define LIBRARY(prefix)                                                                                      \
    struct prefix##lp;                                                                                       \
    struct prefix##lp *prefix##lp_make(size_t rows, const double *lower, const double *upper);               \
    void prefix##lp_free(struct prefix##lp *lp);                                                             \
    void prefix##lp_add(struct prefix##lp *lp, const struct lp_columns *columns);                            \
    void prefix##lp_add_row(struct prefix##lp *lp, size_t count, const int *column, const double *value,     \
                            double lower, double upper);                                                     \
    void prefix##lp_set_row(struct prefix##lp *lp, size_t row, double lower, double upper);                  \
    void prefix##lp_set_limits(struct prefix##lp *lp, size_t column, double least, double most);             \
    void prefix##lp_set_cost(struct prefix##lp *lp, size_t column, double cost);                             \
    bool prefix##lp_solve(struct prefix##lp *lp, int pivots);                                                \
    bool prefix##lp_solve_dual(struct prefix##lp *lp, int pivots);                                           \
    double prefix##lp_cost(const struct prefix##lp *lp);                                                     \
    int prefix##lp_pivots(const struct prefix##lp *lp);
LIBRARY(clp_)
LIBRARY(glpk_)
const double *clp_lp_values(const struct clp_lp *lp);
const double *clp_lp_prices(const struct clp_lp *lp);
const double *clp_lp_reduced(const struct clp_lp *lp);
enum lp_state clp_lp_column_state(const struct clp_lp *lp, size_t column);
enum lp_state clp_lp_row_state(const struct clp_lp *lp, size_t row);

/* Pivots that GLPK may take where CLP came to an optimum. */
enum { PIVOTS_MOST = 1000000, FILES_MOST = 64 };

struct lp {
    struct clp_lp *clp;
    struct glpk_lp *glpk;
};

struct tally {
    double clp, glpk; /* seconds */
    long solves, clp_pivots, glpk_pivots, failed, differ;
};
static struct tally tally;

static double processor_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* What GLPK takes does not count against the engine's limit. */
static double engine_clock(void) {
    return processor_clock() - tally.glpk;
}

struct lp *lp_make(size_t rows, const double *lower, const double *upper) {
    struct lp *lp = calloc(1, sizeof *lp);
    if (lp == NULL)
        return NULL;
    lp->clp = clp_lp_make(rows, lower, upper);
    lp->glpk = glpk_lp_make(rows, lower, upper);
    if (lp->clp != NULL && lp->glpk != NULL)
        return lp;
    lp_free(lp);
    return NULL;
}

void lp_free(struct lp *lp) {
    if (lp == NULL)
        return;
    clp_lp_free(lp->clp);
    glpk_lp_free(lp->glpk);
    free(lp);
}

void lp_add(struct lp *lp, const struct lp_columns *columns) {
    clp_lp_add(lp->clp, columns);
    glpk_lp_add(lp->glpk, columns);
}

void lp_add_row(struct lp *lp, size_t count, const int *column, const double *value, double lower,
                double upper) {
    clp_lp_add_row(lp->clp, count, column, value, lower, upper);
    glpk_lp_add_row(lp->glpk, count, column, value, lower, upper);
}

void lp_set_row(struct lp *lp, size_t row, double lower, double upper) {
    clp_lp_set_row(lp->clp, row, lower, upper);
    glpk_lp_set_row(lp->glpk, row, lower, upper);
}

void lp_set_limits(struct lp *lp, size_t column, double least, double most) {
    clp_lp_set_limits(lp->clp, column, least, most);
    glpk_lp_set_limits(lp->glpk, column, least, most);
}

void lp_set_cost(struct lp *lp, size_t column, double cost) {
    clp_lp_set_cost(lp->clp, column, cost);
    glpk_lp_set_cost(lp->glpk, column, cost);
}

/* GLPK goes all the way whenever CLP has, so that both were asked for the same optima. */
static void follow(struct lp *lp, bool dual) {
    double start = processor_clock();
    bool solved = dual ? glpk_lp_solve_dual(lp->glpk, PIVOTS_MOST) : glpk_lp_solve(lp->glpk, PIVOTS_MOST);
    tally.glpk += processor_clock() - start;
    tally.solves++;
    tally.glpk_pivots += glpk_lp_pivots(lp->glpk);
    tally.failed += !solved;
    double one = clp_lp_cost(lp->clp), other = glpk_lp_cost(lp->glpk);
    tally.differ += solved && fabs(one - other) > 1e-6 * (1 + fabs(one));
}

static bool solve(struct lp *lp, int pivots, bool dual) {
    double start = processor_clock();
    bool solved = dual ? clp_lp_solve_dual(lp->clp, pivots) : clp_lp_solve(lp->clp, pivots);
    tally.clp += processor_clock() - start;
    tally.clp_pivots += clp_lp_pivots(lp->clp);
    if (solved)
        follow(lp, dual);
    return solved;
}

bool lp_solve(struct lp *lp, int pivots) {
    return solve(lp, pivots, false);
}

bool lp_solve_dual(struct lp *lp, int pivots) {
    return solve(lp, pivots, true);
}

const double *lp_values(const struct lp *lp) {
    return clp_lp_values(lp->clp);
}

const double *lp_prices(const struct lp *lp) {
    return clp_lp_prices(lp->clp);
}

const double *lp_reduced(const struct lp *lp) {
    return clp_lp_reduced(lp->clp);
}

enum lp_state lp_column_state(const struct lp *lp, size_t column) {
    return clp_lp_column_state(lp->clp, column);
}

enum lp_state lp_row_state(const struct lp *lp, size_t row) {
    return clp_lp_row_state(lp->clp, row);
}

double lp_cost(const struct lp *lp) {
    return clp_lp_cost(lp->clp);
}

int lp_pivots(const struct lp *lp) {
    return clp_lp_pivots(lp->clp);
}

static bool run(const struct cutting_problem *problem, double seconds) {
    struct cutting_options options = cutting_options_default();
    struct cutting_plan plan;
    struct fault fault;
    options.seconds = seconds;
    options.clock = engine_clock;
    if (cutting_solve(problem, &options, &plan, &fault)) {
        cutting_plan_free(&plan);
        return true;
    }
    fprintf(stderr, "%s: %s\n", fault.where, fault.message);
    return false;
}

static void report(const char *work) {
    printf("{\"work\":\"%s\",\"solves\":%ld,\"clp_ms\":%.1f,\"glpk_ms\":%.1f,\"clp_pivots\":%ld,"
           "\"glpk_pivots\":%ld,\"glpk_failed\":%ld,\"optima_differ\":%ld}\n",
           work, tally.solves, tally.clp * 1000, tally.glpk * 1000, tally.clp_pivots, tally.glpk_pivots,
           tally.failed, tally.differ);
    fflush(stdout);
    tally = (struct tally){0};
}

static bool run_file(const char *path, const char *only, double seconds) {
    FILE *file = fopen(path, "r");
    struct instance instance;
    bool bad = file == NULL;
    while (file != NULL && instance_next(file, &instance, &bad)) {
        if (only == NULL || strstr(instance.name, only) != NULL)
            bad = !run(&instance.problem, seconds) || bad;
        cutting_problem_free(&instance.problem);
    }
    if (file != NULL)
        fclose(file);
    const char *slash = strrchr(path, '/');
    report(slash ? slash + 1 : path);
    return !bad;
}

static bool run_week(double seconds) {
    bool fine = true;
    for (uint64_t group = 0; fine && group < 2; group++) {
        struct cutting_problem problem;
        fine = workshop_group(77000 + group, 500, 40, 80, &problem);
        if (fine) {
            fine = run(&problem, seconds);
            cutting_problem_free(&problem);
        }
    }
    report("two groups of a week");
    return fine;
}

struct arguments {
    double time_limit;
    const char *only;
    size_t file_count;
    const char *files[FILES_MOST];
};

static error_t on_argument(int key, char *text, struct argp_state *state) {
    struct arguments *arguments = state->input;
    if (key == 't')
        arguments->time_limit = atof(text);
    else if (key == 'o')
        arguments->only = text;
    else if (key == ARGP_KEY_ARG && arguments->file_count < FILES_MOST)
        arguments->files[arguments->file_count++] = text;
    else
        return ARGP_ERR_UNKNOWN;
    return 0;
}

int main(int argc, char **argv) {
    static const struct argp_option options[] = {
        {"time-limit", 't', "S", 0, "Seconds of processor time of the engine for each instance (default 2)",
         0},
        {"only", 'o', "TEXT", 0, "Only instances whose name holds TEXT", 0},
        {0}};
    static const struct argp argp = {options,
                                     on_argument,
                                     "[FILE...]",
                                     "Compare two linear programming libraries on the engine's programs.",
                                     0,
                                     0,
                                     0};
    struct arguments arguments = {.time_limit = 2};
    argp_parse(&argp, argc, argv, 0, NULL, &arguments);
    bool fine = true;
    for (size_t i = 0; i < arguments.file_count; i++)
        fine = run_file(arguments.files[i], arguments.only, arguments.time_limit) && fine;
    return run_week(arguments.time_limit) && fine ? 0 : 1;
}
