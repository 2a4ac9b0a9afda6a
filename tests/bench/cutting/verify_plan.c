/* verify_plan PROBLEM PLAN: checks a plan and its certificate from the two documents alone.
 * SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "cutting/check/plan_check.h"

#include <stdio.h>

int main(int argc, char **argv) {
    struct fault fault;
    if (argc != 3) {
        fprintf(
            stderr,
            "usage: verify_plan PROBLEM PLAN\nBoth are JSON files; \"-\" is standard input. Exit 0: the plan "
            "holds, 1: it does not, 2: not readable.\n");
        return 2;
    }
    json_t *problem = document_read_file(argv[1], &document_large, &fault);
    json_t *plan = problem ? document_read_file(argv[2], &document_large, &fault) : NULL;
    int exit_code = 2;
    if (plan != NULL)
        exit_code = plan_check(problem, plan, &fault) ? 0 : 1;
    if (exit_code == 0)
        puts("The plan holds.");
    else
        fprintf(stderr, "%s: %s (%s)\n", fault.where, fault.message, fault.code);
    json_decref(problem);
    json_decref(plan);
    return exit_code;
}
