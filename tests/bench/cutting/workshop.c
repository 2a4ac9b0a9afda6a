/* workshop [--days N]: a workshop's day, a week, a depot, and 250 days of the rack, all from seeds.
 * SPDX-License-Identifier: Apache-2.0 */
#include "workshop.h"

#include "cutting/cutting.h"
#include "rack.h"

#include <argp.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { GROUPS = 8, DAY_WINDOWS = 150, OFFCUTS = 40, SEEDS_MOST = 1000 };

struct arguments {
    int seeds, days;
    const char *plot;
};

static double processor_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static int by_number(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

static bool solve(const struct cutting_problem *problem, double seconds, struct cutting_plan *plan) {
    struct cutting_options options = cutting_options_default();
    struct fault fault;
    options.seconds = seconds;
    options.clock = processor_clock;
    if (cutting_solve(problem, &options, plan, &fault))
        return true;
    fprintf(stderr, "%s: %s\n", fault.where, fault.message);
    return false;
}

/* 150 windows in 8 groups, each with 3 bar lengths and 40 offcuts. */
static bool bench_days(int seeds) {
    static double times[SEEDS_MOST];
    int proven = 0, groups = 0;
    for (int seed = 0; seed < seeds; seed++) {
        times[seed] = 0;
        for (int group = 0; group < GROUPS; group++) {
            struct cutting_problem problem;
            struct cutting_plan plan;
            int windows = DAY_WINDOWS / GROUPS + (group < DAY_WINDOWS % GROUPS);
            if (!workshop_group((uint64_t)seed * 1000 + (uint64_t)group, windows, OFFCUTS, 80, &problem))
                return false;
            bool fine = solve(&problem, 10, &plan);
            if (fine) {
                times[seed] += plan.ms;
                proven += plan.proven;
                groups++;
                cutting_plan_free(&plan);
            }
            cutting_problem_free(&problem);
            if (!fine)
                return false;
        }
    }
    qsort(times, (size_t)seeds, sizeof *times, by_number);
    printf("{\"work\":\"day\",\"seeds\":%d,\"groups\":%d,\"proven\":%d,\"median_ms\":%.1f,\"p99_ms\":%.1f,"
           "\"worst_ms\":%.1f}\n",
           seeds, groups, proven, times[seeds / 2], times[seeds - 1 - seeds / 100], times[seeds - 1]);
    return true;
}

/* 5 000 pieces in 8 groups within 5 s in all: each gets its share of what is left, less what it takes to conclude. */
static bool bench_week(void) {
    int64_t cost = 0, bound = 0;
    double ms = 0, limit = 5, conclude = 0.1;
    int proven = 0;
    for (int group = 0; group < GROUPS; group++) {
        struct cutting_problem problem;
        struct cutting_plan plan;
        if (!workshop_group(77000 + (uint64_t)group, 500, OFFCUTS, 80, &problem))
            return false;
        bool fine = solve(&problem, (limit - ms / 1000) / (GROUPS - group) - conclude, &plan);
        cutting_problem_free(&problem);
        if (!fine)
            return false;
        cost += plan.cost;
        bound += plan.bound;
        ms += plan.ms;
        proven += plan.proven;
        cutting_plan_free(&plan);
    }
    printf("{\"work\":\"week\",\"groups\":%d,\"proven\":%d,\"gap_percent\":%.4f,\"ms\":%.1f}\n", GROUPS,
           proven, 100 * (double)(cost - bound) / (double)cost, ms);
    return true;
}

/* 100 000 pieces of 60 lengths. */
static bool bench_depot(void) {
    struct cutting_problem problem;
    struct cutting_plan plan;
    uint64_t state = 4242;
    if (!workshop_group(4242, 60, OFFCUTS, 80, &problem))
        return false;
    if (problem.piece_count > 60)
        problem.piece_count = 60;
    int64_t left = 100000;
    for (size_t i = 0; i < problem.piece_count; i++) {
        problem.pieces[i].quantity =
            i + 1 < problem.piece_count ? workshop_between(&state, 1000, 2200) : left;
        left -= problem.pieces[i].quantity;
    }
    bool fine = left == 0 && solve(&problem, 10, &plan);
    cutting_problem_free(&problem);
    if (!fine)
        return false;
    printf("{\"work\":\"depot\",\"pieces\":100000,\"proven\":%s,\"gap_percent\":%.4f,\"ms\":%.1f}\n",
           plan.proven ? "true" : "false", 100 * (double)(plan.cost - plan.bound) / (double)plan.cost,
           plan.ms);
    cutting_plan_free(&plan);
    return true;
}

static error_t on_argument(int key, char *text, struct argp_state *state) {
    struct arguments *arguments = state->input;
    if (key == 's')
        arguments->seeds = atoi(text);
    else if (key == 'd')
        arguments->days = atoi(text);
    else if (key == 'p')
        arguments->plot = text;
    else
        return ARGP_ERR_UNKNOWN;
    return 0;
}

int main(int argc, char **argv) {
    static const struct argp_option options[] = {
        {"seeds", 's', "N", 0, "Days that are planned, each from its seed (default 100)", 0},
        {"days", 'd', "N", 0, "Working days of the rack's simulation (default 250; 0: leave it out)", 0},
        {"plot", 'p', "FILE", 0, "Draw the rack over time to this SVG file", 0},
        {0}};
    static const struct argp argp = {options, on_argument, "", "Plan a workshop's work from seeds.", 0, 0, 0};
    struct arguments arguments = {.seeds = 100, .days = 250};
    argp_parse(&argp, argc, argv, 0, NULL, &arguments);
    if (arguments.seeds < 1 || arguments.seeds > SEEDS_MOST || arguments.days < 0 ||
        arguments.days > RACK_DAYS_MOST) {
        fprintf(stderr, "1 to %d seeds and 0 to %d days are taken.\n", SEEDS_MOST, RACK_DAYS_MOST);
        return 2;
    }
    return bench_days(arguments.seeds) && bench_week() && bench_depot() &&
                   (arguments.days == 0 || rack_simulate(arguments.days, arguments.plot))
               ? 0
               : 1;
}
