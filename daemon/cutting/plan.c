/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/plan.h"

#include <stdlib.h>

void cutting_plan_free(struct cutting_plan *plan) {
    free(plan->runs);
    free(plan->pieces);
    for (size_t i = 0; i < plan->unmet_count; i++) {
        free(plan->unmet[i].certificate.lengths);
        free(plan->unmet[i].certificate.prices);
    }
    free(plan->unmet);
    free(plan->buy);
    free(plan->joins);
    free(plan->certificate.lengths);
    free(plan->certificate.prices);
    *plan = (struct cutting_plan){0};
}

const char *cutting_proof_name(enum cutting_proof proof) {
    static const char *const names[] = {"none", "material", "prices", "search"};
    return names[proof];
}
