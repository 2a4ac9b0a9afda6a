/* Every choice of joins, one after the other. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/join.h"

#include <stdlib.h>
#include <string.h>

/* Choices in all, and steps of search for each. */
enum { CHOICES_MOST = 128, CHOICE_WORK = 300000 };

static bool few(const struct cutting_problem *problem) {
    size_t choices = 1;
    for (size_t g = 0; g < problem->join_count && choices <= CHOICES_MOST; g++)
        choices *= problem->joins[g].alternatives;
    return choices <= CHOICES_MOST;
}

/* As an odometer counts. False after the last. */
static bool next_choice(const struct cutting_problem *problem, size_t *choice) {
    for (size_t g = 0; g < problem->join_count; g++) {
        if (++choice[g] < problem->joins[g].alternatives)
            return true;
        choice[g] = 0;
    }
    return false;
}

/* Left out whatever is cut beside it: then the choice is no better, however little it costs. */
static bool cannot_cut_all(const struct cutting_plan *plan) {
    for (size_t i = 0; i < plan->unmet_count; i++)
        if (plan->unmet[i].why != CUTTING_NO_STOCK || plan->unmet[i].proof != CUTTING_PROOF_NONE)
            return true;
    return false;
}

/* What the choice costs at least goes into *least, its plan into *plan where that costs less. *known: false when it was not settled. */
static bool try_choice(const struct cutting_problem *fixed, change_solve *solve, struct watch *watch,
                       struct cutting_plan *plan, int64_t *least, bool *known, bool *better,
                       struct fault *fault) {
    struct cutting_options options;
    struct cutting_plan other = {0};
    struct watch part;
    watch_part(watch, CHOICE_WORK, &options, &part);
    bool fine = solve(fixed, &part, &other, fault);
    watch_end_part(watch, &part);
    if (!fine)
        return false;
    *better = false;
    if (other.unmet_count > 0) {
        *known = cannot_cut_all(&other);
    } else {
        *known = other.cost == other.bound;
        *least = other.bound < *least ? other.bound : *least;
        *better = other.cost < plan->cost;
    }
    if (*better) {
        struct cutting_plan worse = *plan;
        *plan = other;
        other = worse;
    }
    cutting_plan_free(&other);
    return true;
}

bool join_every(const struct cutting_problem *problem, struct cutting_problem *fixed, change_solve *solve,
                struct watch *watch, struct join_answer *answer, struct cutting_plan *plan,
                struct fault *fault) {
    size_t size = (problem->join_count + 1) * sizeof(size_t);
    int64_t least = plan->bound;
    bool known = plan->cost == plan->bound, better;
    if (!few(problem) || !known || plan->cost == answer->bound)
        return true;
    size_t *choice = calloc(2, size), *first = choice == NULL ? NULL : choice + problem->join_count + 1;
    if (choice == NULL)
        return fault_memory(fault);
    memcpy(first, answer->chosen, size);
    bool fine = true;
    do {
        if (memcmp(choice, first, problem->join_count * sizeof *choice) == 0)
            continue;
        for (size_t g = 0; g < problem->join_count; g++)
            join_take(problem, g, choice[g], fixed);
        fine = try_choice(fixed, solve, watch, plan, &least, &known, &better, fault);
        if (fine && better)
            memcpy(answer->chosen, choice, size);
    } while (fine && known && !watch_over(watch, 1) && next_choice(problem, choice));
    bool all = fine && known && !watch->over;
    for (size_t g = 0; g < problem->join_count; g++) {
        all = all && choice[g] == 0;
        join_take(problem, g, answer->chosen[g], fixed);
    }
    answer->every = all ? least : INT64_MIN;
    free(choice);
    return fine;
}
