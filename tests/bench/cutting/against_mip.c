/* against_mip [--problems N] [--windows N] [--offcuts N] [--time-limit S] [--seed N]: the engine against CBC, a general
 * solver of integer programs, on workshop problems made from a seed. One JSON line a problem, then the summary; exit
 * status 1 where an optimum or a bound disagrees. Times are of the processor, CBC's with the making of its model; one that
 * is not proven counts as far as it went, and as the limit where the model grows too large.
 * SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/plan_check.h"
#include "cutting/cutting.h"
#include "pattern_model.h"
#include "workshop.h"

#include <argp.h>
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { PROBLEMS_MOST = 10000, RESAMPLES = 10000 };

struct arguments {
    long problems, windows, offcuts; /* the last two: the most of a problem */
    double seconds;
    uint64_t seed;
};

struct compared {
    bool engine_proven, mip_proven, agree;
    int64_t cost, bound;
    double engine_seconds, mip_seconds;
    size_t pieces, columns;
    struct mip_answer mip;
};

static double processor_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* A plan that the checker refuses is as bad as one that disagrees. */
static bool passes(const struct cutting_problem *problem, const struct cutting_plan *plan) {
    struct fault fault = {0};
    json_t *asked = workshop_document(problem), *answer = cutting_plan_write(problem, plan);
    bool fine = asked != NULL && answer != NULL && plan_check(asked, answer, &fault);
    if (!fine)
        fprintf(stderr, "The checker: %s: %s\n", fault.where, fault.message);
    json_decref(asked);
    json_decref(answer);
    return fine;
}

static bool ask_engine(const struct cutting_problem *problem, double seconds, struct compared *compared) {
    struct cutting_options options = cutting_options_default();
    struct cutting_plan plan;
    struct fault fault;
    options.seconds = seconds;
    options.clock = processor_clock;
    double start = processor_clock();
    if (!cutting_solve(problem, &options, &plan, &fault)) {
        fprintf(stderr, "The engine: %s: %s\n", fault.where, fault.message);
        return false;
    }
    compared->engine_seconds = processor_clock() - start;
    compared->engine_proven = plan.proven;
    compared->cost = plan.cost;
    compared->bound = plan.bound;
    bool fine = plan.unmet_count == 0 && passes(problem, &plan);
    cutting_plan_free(&plan);
    return fine;
}

static void ask_mip(const struct cutting_problem *problem, double seconds, struct compared *compared) {
    struct pattern_model model;
    double start = processor_clock();
    compared->mip = (struct mip_answer){.bound = -HUGE_VAL};
    if (pattern_model_make(problem, &model)) {
        double left = seconds - (processor_clock() - start);
        compared->columns = model.columns;
        if (left > 0)
            pattern_model_solve(&model, left, &compared->mip);
        pattern_model_free(&model);
    }
    compared->mip_seconds = processor_clock() - start;
    compared->mip_proven = compared->mip.proven;
}

/* Costs are whole tenths: half a one is what CBC's tolerances may take. */
static bool agrees(const struct compared *compared) {
    const struct mip_answer *mip = &compared->mip;
    double cost = (double)compared->cost, bound = (double)compared->bound;
    if (mip->proven && compared->engine_proven)
        return fabs(cost - mip->cost) < 0.5;
    if (mip->proven && mip->cost > cost + 0.5)
        return false;
    return (!mip->has_plan || bound < mip->cost + 0.5) && (mip->proven || mip->bound < cost + 0.5);
}

static void print_line(uint64_t seed, const struct compared *compared, FILE *output) {
    fprintf(output,
            "{\"seed\":%" PRIu64 ",\"pieces\":%zu,\"patterns\":%zu,\"cost\":%" PRId64 ",\"bound\":%" PRId64
            ",\"proven\":%s,\"ms\":%.3f,\"mip_proven\":%s,\"mip_cost\":",
            seed, compared->pieces, compared->columns, compared->cost, compared->bound,
            compared->engine_proven ? "true" : "false", compared->engine_seconds * 1000,
            compared->mip_proven ? "true" : "false");
    if (compared->mip.has_plan)
        fprintf(output, "%.0f", compared->mip.cost);
    else
        fputs("null", output);
    fprintf(output, ",\"mip_ms\":%.3f,\"agree\":%s}\n", compared->mip_seconds * 1000,
            compared->agree ? "true" : "false");
    fflush(output);
}

static bool compare(uint64_t seed, const struct arguments *arguments, struct compared *compared) {
    struct cutting_problem problem;
    *compared = (struct compared){0};
    if (!workshop_problem(seed, (int)arguments->windows, (int)arguments->offcuts, &problem)) {
        fprintf(stderr, "Out of memory.\n");
        return false;
    }
    for (size_t i = 0; i < problem.piece_count; i++)
        compared->pieces += (size_t)problem.pieces[i].quantity;
    bool fine = ask_engine(&problem, arguments->seconds, compared);
    if (fine) {
        ask_mip(&problem, arguments->seconds, compared);
        compared->agree = agrees(compared);
    } else {
        fprintf(stderr, "Problem %" PRIu64 ": the engine gave no whole plan that passes the checker.\n",
                seed);
    }
    cutting_problem_free(&problem);
    return fine;
}

static int by_number(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Logarithm of CBC's time over the engine's. */
static double time_ratio(const struct compared *compared, double limit) {
    double mip = compared->columns > 0 ? compared->mip_seconds : limit;
    return log(mip / fmax(compared->engine_seconds, 1e-6));
}

/* Means of `count` logarithms drawn with replacement: the 2.5th and 97.5th of 100 (Efron 1979). */
static void bootstrap(const double *logs, size_t count, uint64_t seed, double *low, double *high) {
    static double means[RESAMPLES];
    uint64_t state = seed;
    for (size_t r = 0; r < RESAMPLES; r++) {
        double sum = 0;
        for (size_t i = 0; i < count; i++)
            sum += logs[workshop_between(&state, 0, (int64_t)count - 1)];
        means[r] = sum / (double)count;
    }
    qsort(means, RESAMPLES, sizeof *means, by_number);
    *low = means[RESAMPLES / 40];
    *high = means[RESAMPLES - 1 - RESAMPLES / 40];
}

static void print_summary(const struct compared *all, size_t count, const struct arguments *arguments,
                          FILE *output) {
    static double logs[PROBLEMS_MOST], engine[PROBLEMS_MOST], mip[PROBLEMS_MOST];
    size_t engine_proven = 0, mip_proven = 0, disagree = 0;
    double sum = 0, low, high;
    for (size_t i = 0; i < count; i++) {
        logs[i] = time_ratio(&all[i], arguments->seconds);
        sum += logs[i];
        engine[i] = all[i].engine_seconds * 1000;
        mip[i] = all[i].mip_seconds * 1000;
        engine_proven += all[i].engine_proven;
        mip_proven += all[i].mip_proven;
        disagree += !all[i].agree;
    }
    bootstrap(logs, count, arguments->seed, &low, &high);
    qsort(engine, count, sizeof *engine, by_number);
    qsort(mip, count, sizeof *mip, by_number);
    fprintf(output,
            "{\"problems\":%zu,\"proven\":%zu,\"mip_proven\":%zu,\"disagree\":%zu,\"median_ms\":%.3f,"
            "\"worst_ms\":%.3f,\"mip_median_ms\":%.3f,\"mip_worst_ms\":%.3f,\"time_ratio\":%.1f,"
            "\"time_ratio_95\":[%.1f,%.1f]}\n",
            count, engine_proven, mip_proven, disagree, engine[count / 2], engine[count - 1], mip[count / 2],
            mip[count - 1], exp(sum / (double)count), exp(low), exp(high));
}

static error_t on_argument(int key, char *text, struct argp_state *state) {
    struct arguments *arguments = state->input;
    if (key == 'n')
        arguments->problems = strtol(text, NULL, 10);
    else if (key == 'w')
        arguments->windows = strtol(text, NULL, 10);
    else if (key == 'o')
        arguments->offcuts = strtol(text, NULL, 10);
    else if (key == 't')
        arguments->seconds = strtod(text, NULL);
    else if (key == 's')
        arguments->seed = strtoull(text, NULL, 10);
    else
        return ARGP_ERR_UNKNOWN;
    return 0;
}

/* CBC writes to standard output whatever its log level; only JSON belongs there. */
static FILE *keep_output(void) {
    int own = dup(STDOUT_FILENO);
    FILE *output = own >= 0 ? fdopen(own, "w") : NULL;
    return output != NULL && dup2(STDERR_FILENO, STDOUT_FILENO) >= 0 ? output : NULL;
}

int main(int argc, char **argv) {
    static const struct argp_option options[] = {
        {"problems", 'n', "N", 0, "Problems (default 200)", 0},
        {"windows", 'w', "N", 0, "Windows of a problem at most, a third of it at least (default 18)", 0},
        {"offcuts", 'o', "N", 0, "Offcuts of a problem at most, a third of it at least (default 6)", 0},
        {"time-limit", 't', "S", 0, "Seconds of processor time for each and either (default 60)", 0},
        {"seed", 's', "N", 0, "Seed of the first problem (default 1)", 0},
        {0}};
    static const struct argp argp = {
        options, on_argument, "", "The cutting engine against CBC on workshop problems.", 0, 0, 0};
    static struct compared all[PROBLEMS_MOST];
    struct arguments arguments = {.problems = 200, .windows = 18, .offcuts = 6, .seconds = 60, .seed = 1};
    argp_parse(&argp, argc, argv, 0, NULL, &arguments);
    if (arguments.problems < 1 || arguments.problems > PROBLEMS_MOST || arguments.windows < 1 ||
        arguments.windows > 10000 || arguments.offcuts < 0 || arguments.offcuts > 10000 ||
        !(arguments.seconds > 0 && arguments.seconds <= 86400)) {
        fprintf(stderr,
                "1 to %d problems of 1 to 10000 windows and 0 to 10000 offcuts, and a limit above 0 s, up to "
                "86400 s, "
                "are taken.\n",
                PROBLEMS_MOST);
        return 2;
    }
    FILE *output = keep_output();
    bool fine = output != NULL;
    size_t count = (size_t)arguments.problems;
    for (size_t i = 0; fine && i < count; i++) {
        fine = compare(arguments.seed + i, &arguments, &all[i]);
        if (fine)
            print_line(arguments.seed + i, &all[i], output);
    }
    if (fine)
        print_summary(all, count, &arguments, output);
    for (size_t i = 0; fine && i < count; i++)
        fine = all[i].agree;
    return fine && fclose(output) == 0 ? 0 : 1;
}
