/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/cutlist.h"

bool cutlist_run(const json_t *problem, const struct cutting_options *options, json_t **plan,
                 struct fault *fault) {
    struct cutting_problem read;
    struct cutting_plan found;
    *plan = NULL;
    if (!cutting_problem_read(problem, &read, fault))
        return false;
    bool fine = cutting_solve(&read, options, &found, fault);
    if (fine) {
        *plan = cutting_plan_write(&read, &found);
        fine = *plan != NULL || fault_memory(fault);
        cutting_plan_free(&found);
    }
    cutting_problem_free(&read);
    return fine;
}
