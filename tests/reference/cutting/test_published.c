/* Published instances with proven optima. Those in instances.txt are from the ESICUP data sets as kept by
 * JeroenGar/datasets (folder 1d, CC0 1.0): E. Falkenauer, J. Heuristics 2 (1996) 5-30; A. Scholl, R. Klein, C. Juergens,
 * Computers & OR 24 (1997) 627-645; P. Schwerin, G. Waescher, Int. Trans. in OR 4 (1997) 377-389; G. Waescher, T. Gau, OR
 * Spektrum 18 (1996) 131-144; J. E. Schoenfield, technical report, US Army Space and Missile Defense Command (2002).
 * Optimal values: rafaelmartinelli/BPPLib.jl, data/Bounds.zip (MIT).
 * SPDX-License-Identifier: Apache-2.0 */
#include "cutting/cutting.h"
#include "instances.h"

#include <criterion/criterion.h>
#include <inttypes.h>
#include <stdlib.h>

Test(published, a_selection_is_solved_to_the_proven_optimum) {
    FILE *file = fopen(ELLWAND_SOURCE_DIR "/tests/reference/cutting/instances.txt", "r");
    struct instance instance;
    bool bad;
    int count = 0;
    cr_assert_not_null(file, "the selection is there");
    while (instance_next(file, &instance, &bad)) {
        struct cutting_options options = cutting_options_default();
        struct cutting_plan plan;
        struct fault fault;
        options.seconds = 120;
        cr_assert(cutting_solve(&instance.problem, &options, &plan, &fault), "%s: %s", instance.name,
                  fault.message);
        cr_assert(plan.proven, "%s is proven: %" PRId64 " and %" PRId64, instance.name, plan.cost,
                  plan.bound);
        cr_assert_eq(plan.cost / instance.capacity, atol(instance.known), "%s: %" PRId64 " bars, known %s",
                     instance.name, plan.cost / instance.capacity, instance.known);
        cutting_plan_free(&plan);
        cutting_problem_free(&instance.problem);
        count++;
    }
    cr_assert(!bad, "the file is read to its end");
    cr_assert_geq(count, 20, "%d instances", count);
    fclose(file);
}
