/* What the steps of a take-off hand to each other. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_WORK_H
#define ELLWAND_TAKEOFF_WORK_H

#include "takeoff/takeoff.h"

static inline ell_length length_least(ell_length a, ell_length b) {
    return a < b ? a : b;
}
static inline ell_length length_most(ell_length a, ell_length b) {
    return a > b ? a : b;
}
/* a / b for b > 0, towards minus and plus infinity, and to the nearest with halves away from zero. */
static inline int64_t divide_down(int64_t a, int64_t b) {
    return a / b - (a % b != 0 && a < 0);
}
static inline int64_t divide_up(int64_t a, int64_t b) {
    return a / b + (a % b != 0 && a > 0);
}
static inline int64_t divide_near(int64_t a, int64_t b) {
    return a < 0 ? -((-a * 2 + b) / (2 * b)) : (a * 2 + b) / (2 * b);
}

/* Adds one advice; a refusal marks the take-off as refused. When the list is full only refusals still come
 * in. */
void advise(struct takeoff *takeoff, const char *code, enum severity severity, const char *where,
            const char *remedy, const char *message, ...) PRINTF_LIKE(6, 7);

/* True when a rule's or fixing's condition holds for this window and overall length. */
bool condition_holds(const struct condition *when, const struct takeoff *takeoff);

/* The steps, in this order; each fills its part of the take-off and only reads what earlier ones filled. */
bool step_measure(struct takeoff *takeoff, struct fault *fault) MUST_CHECK;
void step_set_out(struct takeoff *takeoff);
void step_parts(struct takeoff *takeoff);

#endif
