/* batches [--problems N] [--windows N] [--batches N] [--offcuts N] [--time-limit S] [--seed N]: workshop problems whose
 * two-part tracks must come from one finish batch, bars of every length lying there in some of the batches. One JSON line
 * a problem, then the summary. Times are of the processor. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/cutting.h"
#include "workshop.h"

#include <argp.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { PROBLEMS_MOST = 10000 };

struct arguments {
    long problems, windows, batches, offcuts;
    double seconds;
    uint64_t seed;
};

struct outcome {
    bool proven, whole;
    size_t couples;
    int64_t cost, bound, work;
    double seconds, gap;
};

static double processor_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* Of three lengths in every batch some bars, few of most, so that no batch takes all; an offcut in four of an old batch. */
static bool make_problem(uint64_t seed, const struct arguments *arguments, struct cutting_problem *problem) {
    uint64_t state = seed * 2 + 1;
    size_t batches = (size_t)arguments->batches, offcuts = (size_t)arguments->offcuts;
    if (!workshop_group(workshop_random(&state), (int)arguments->windows, (int)offcuts, 80, problem))
        return false;
    struct cutting_bar *bars = calloc(3 * batches + offcuts + 1, sizeof *bars);
    if (bars == NULL) {
        cutting_problem_free(problem);
        return false;
    }
    int64_t enough = 2 * arguments->windows / (arguments->batches * 3) + 2;
    for (size_t i = 0; i < 3 * batches; i++) {
        bars[i] = problem->bars[i / batches];
        bars[i].quantity = workshop_between(&state, enough / 2, enough);
        snprintf(bars[i].name, sizeof bars[i].name, "B%zu", i);
        snprintf(bars[i].batch, sizeof bars[i].batch, "lot %zu", i % batches);
    }
    for (size_t i = 0; i < offcuts; i++) {
        struct cutting_bar *bar = &bars[3 * batches + i];
        *bar = problem->bars[3 + i];
        if (workshop_between(&state, 0, 3) > 0)
            snprintf(bar->batch, sizeof bar->batch, "lot %zu", (size_t)workshop_random(&state) % batches);
        else
            snprintf(bar->batch, sizeof bar->batch, "old %d", (int)workshop_between(&state, 1, 5));
    }
    free(problem->bars);
    problem->bars = bars;
    problem->bar_count = 3 * batches + offcuts;
    for (size_t i = 0; i + 1 < problem->piece_count; i++) {
        struct cutting_piece *one = &problem->pieces[i], *other = &problem->pieces[i + 1];
        size_t name = strlen(one->name) - 1;
        if (one->name[name] != 'a' || other->name[name] != 'b')
            continue;
        memcpy(one->batch_match, one->name, name);
        memcpy(other->batch_match, one->name, name);
    }
    return true;
}

static bool solve(uint64_t seed, const struct arguments *arguments, struct outcome *outcome) {
    struct cutting_problem problem;
    struct cutting_options options = cutting_options_default();
    struct cutting_plan plan;
    struct fault fault;
    options.seconds = arguments->seconds;
    options.clock = processor_clock;
    *outcome = (struct outcome){0};
    if (!make_problem(seed, arguments, &problem)) {
        fprintf(stderr, "Out of memory.\n");
        return false;
    }
    for (size_t i = 0; i < problem.piece_count; i++)
        outcome->couples += problem.pieces[i].batch_match[0] != '\0';
    outcome->couples /= 2;
    double start = processor_clock();
    bool fine = cutting_solve(&problem, &options, &plan, &fault);
    outcome->seconds = processor_clock() - start;
    if (fine) {
        outcome->proven = plan.proven;
        outcome->cost = plan.cost;
        outcome->bound = plan.bound;
        outcome->gap = plan.cost > 0 ? 100 * (double)(plan.cost - plan.bound) / (double)plan.cost : 0;
        outcome->whole = plan.unmet_count == 0;
        outcome->work = plan.work;
        cutting_plan_free(&plan);
    } else {
        fprintf(stderr, "%s: %s\n", fault.where, fault.message);
    }
    cutting_problem_free(&problem);
    return fine;
}

static int by_number(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

static void print_summary(const struct outcome *all, size_t count) {
    static double seconds[PROBLEMS_MOST], gaps[PROBLEMS_MOST];
    size_t proven = 0, whole = 0, couples = 0;
    for (size_t i = 0; i < count; i++) {
        seconds[i] = all[i].seconds * 1000;
        gaps[i] = all[i].gap;
        proven += all[i].proven;
        whole += all[i].whole;
        couples += all[i].couples;
    }
    qsort(seconds, count, sizeof *seconds, by_number);
    qsort(gaps, count, sizeof *gaps, by_number);
    printf("{\"problems\":%zu,\"couples\":%.1f,\"whole\":%zu,\"proven\":%zu,\"median_ms\":%.1f,"
           "\"worst_ms\":%.1f,\"median_gap\":%.4f,\"worst_gap\":%.4f}\n",
           count, (double)couples / (double)count, whole, proven, seconds[count / 2], seconds[count - 1],
           gaps[count / 2], gaps[count - 1]);
}

static error_t on_argument(int key, char *text, struct argp_state *state) {
    struct arguments *arguments = state->input;
    if (key == 'n')
        arguments->problems = strtol(text, NULL, 10);
    else if (key == 'w')
        arguments->windows = strtol(text, NULL, 10);
    else if (key == 'b')
        arguments->batches = strtol(text, NULL, 10);
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

int main(int argc, char **argv) {
    static const struct argp_option options[] = {
        {"problems", 'n', "N", 0, "Problems (default 50)", 0},
        {"windows", 'w', "N", 0, "Windows of each (default 40)", 0},
        {"batches", 'b', "N", 0, "Batches of bars (default 3)", 0},
        {"offcuts", 'o', "N", 0, "Offcuts of each (default 15)", 0},
        {"time-limit", 't', "S", 0, "Seconds of processor time for each (default 10)", 0},
        {"seed", 's', "N", 0, "Seed of the first problem (default 1)", 0},
        {0}};
    static const struct argp argp = {options, on_argument, "", "Batches to match on workshop problems.",
                                     0,       0,           0};
    static struct outcome all[PROBLEMS_MOST];
    struct arguments arguments = {
        .problems = 50, .windows = 40, .batches = 3, .offcuts = 15, .seconds = 10, .seed = 1};
    argp_parse(&argp, argc, argv, 0, NULL, &arguments);
    if (arguments.problems < 1 || arguments.problems > PROBLEMS_MOST || arguments.windows < 1 ||
        arguments.windows > 10000 || arguments.offcuts < 0 || arguments.offcuts > 10000 ||
        arguments.batches < 1 || arguments.batches > 1000 || !(arguments.seconds > 0)) {
        fprintf(stderr, "1 to %d problems of 1 to 10000 windows, 1 to 1000 batches, 0 to 10000 offcuts.\n",
                PROBLEMS_MOST);
        return 2;
    }
    for (size_t i = 0; i < (size_t)arguments.problems; i++) {
        uint64_t seed = arguments.seed + i;
        if (!solve(seed, &arguments, &all[i]))
            return 1;
        printf("{\"seed\":%" PRIu64 ",\"couples\":%zu,\"cost\":%" PRId64 ",\"bound\":%" PRId64
               ",\"proven\":%s,\"whole\":%s,\"work\":%" PRId64 ",\"ms\":%.1f}\n",
               seed, all[i].couples, all[i].cost, all[i].bound, all[i].proven ? "true" : "false",
               all[i].whole ? "true" : "false", all[i].work, all[i].seconds * 1000);
        fflush(stdout);
    }
    print_summary(all, (size_t)arguments.problems);
    return 0;
}
