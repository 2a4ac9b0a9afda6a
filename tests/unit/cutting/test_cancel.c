/* What is still done after a cancel, counted in steps of search and not by a clock. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <stdlib.h>

enum { PIECES = 220, OFFCUTS = 20 };
#ifdef __SANITIZE_ADDRESS__
enum { READINGS = 50 };
#else
enum { READINGS = 400 };
#endif

/* The clock is read every few thousand steps; it stands still and calls the search off at its n-th reading. */
static struct {
    atomic_bool cancel;
    int readings, at;
} calling_off;

static double clock_that_cancels(void) {
    if (++calling_off.readings == calling_off.at)
        atomic_store(&calling_off.cancel, true);
    return 0;
}

static void make_problem(bool batches, struct cutting_problem *problem) {
    uint64_t state = 99;
    cutting_problem_clear(problem);
    problem->saw.kerf = 22;
    problem->remainder = (struct cutting_remainder){9000, 80, CUTTING_UNLIMITED};
    problem->bars = calloc(OFFCUTS + 1, sizeof *problem->bars);
    problem->pieces = calloc(PIECES, sizeof *problem->pieces);
    cr_assert(problem->bars && problem->pieces, "memory");
    for (int i = 0; i <= OFFCUTS; i++) {
        struct cutting_bar *bar = &problem->bars[problem->bar_count++];
        *bar = (struct cutting_bar){.length = i == 0 ? 60000 : pick(&state, 6000, 34000),
                                    .quantity = i == 0 ? CUTTING_UNLIMITED : 1};
        bar->value = bar->length;
        snprintf(bar->name, sizeof bar->name, "b%d", i);
    }
    for (int i = 0; i < PIECES; i++) {
        struct cutting_piece *piece = &problem->pieces[problem->piece_count++];
        *piece = (struct cutting_piece){.length = pick(&state, 5000, 29000), .quantity = 1};
        snprintf(piece->name, sizeof piece->name, "p%d", i);
        if (batches)
            snprintf(piece->batch_match, sizeof piece->batch_match, "m%d", i / 2);
    }
}

/* Solves until the n-th reading. False when it was finished before. */
static bool cancelled_at(const struct cutting_problem *problem, int reading, struct cutting_plan *plan) {
    struct cutting_options options = cutting_options_default();
    struct fault fault;
    calling_off.readings = 0;
    calling_off.at = reading;
    atomic_store(&calling_off.cancel, false);
    options.clock = clock_that_cancels;
    options.seconds = 1e9;
    options.cancel = &calling_off.cancel;
    cr_assert(cutting_solve(problem, &options, plan, &fault), "solves: %s", fault.message);
    return atomic_load(&calling_off.cancel);
}

/* A processor does some 100 000 steps in 20 ms (bench/cancel); looking for the plan at the first reading of the clock, all
 * bars have to be filled once by the quickest rule. */
static void little_is_done(bool batches) {
    enum { STEPS_MOST = 60000 };
    struct cutting_problem problem;
    struct cutting_plan plan;
    int cancels = 0;
    make_problem(batches, &problem);
    for (int reading = 3; reading < READINGS && cancelled_at(&problem, reading, &plan);
         reading += reading / 3 + 1) {
        cr_assert_lt(plan.late, STEPS_MOST, "reading %d: %ld of %ld steps came after the cancel", reading,
                     (long)plan.late, (long)plan.work);
        cr_assert(plan.stopped, "reading %d: the plan says so", reading);
        cr_assert_eq(plan.unmet_count, 0, "reading %d: it cuts everything", reading);
        cutting_plan_free(&plan);
        cancels++;
    }
    cutting_plan_free(&plan);
    cutting_problem_free(&problem);
    cr_assert_gt(cancels, 7, "the search was long enough to be cancelled often: %d", cancels);
}

Test(cancel, little_is_done_after_it) {
    little_is_done(false);
}

Test(cancel, little_is_done_after_it_where_batches_match) {
    little_is_done(true);
}
