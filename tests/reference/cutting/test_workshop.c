/* Workshop problems that were hard, with the optima that CBC 2.10 proved (bench/against_mip), within so many steps of
 * search. SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include "workshop.h"

struct hard {
    uint64_t seed;
    int windows, offcuts;
    int64_t cost, work;
};

static void solve_hard(const struct hard *hard) {
    struct cutting_problem problem;
    char what[48];
    snprintf(what, sizeof what, "seed %lu of %d windows", (unsigned long)hard->seed, hard->windows);
    cr_assert(workshop_problem(hard->seed, hard->windows, hard->offcuts, &problem), "%s: memory", what);
    json_t *document = workshop_document(&problem), *plan = solved(document, hard->work, what);
    cr_assert(json_is_true(json_object_get(plan, "proven")), "%s is proven within %ld steps", what,
              (long)hard->work);
    cr_assert_float_eq(number(plan, "cost") * 10, (double)hard->cost, 0.5, "%s: %g", what,
                       number(plan, "cost") * 10);
    json_decref(plan);
    json_decref(document);
    cutting_problem_free(&problem);
}

Test(workshop, hard_problems_are_proven_within_a_limit_of_work) {
    static const struct hard problems[] = {
        {2, 18, 6, 609226, 400000},
        {26, 18, 6, 504471, 800000},
        {37, 18, 6, 671076, 400000},
#ifndef __SANITIZE_ADDRESS__
        {195, 18, 6, 715507, 8000000},
#endif
    };
    for (size_t i = 0; i < sizeof problems / sizeof problems[0]; i++)
        solve_hard(&problems[i]);
}
