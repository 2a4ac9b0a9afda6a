/* The steps of a take-off in their order. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/takeoff.h"

#include "common/text.h"
#include "takeoff/work.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void advise(struct takeoff *takeoff, const char *code, enum severity severity, const char *where,
            const char *remedy, const char *message, ...) {
    takeoff->refused = takeoff->refused || severity == SEVERITY_REFUSAL;
    size_t at = takeoff->advice_count;
    if (at == TAKEOFF_ADVICE) {
        if (severity != SEVERITY_REFUSAL)
            return;
        at--;
    }
    struct takeoff_advice *advice = &takeoff->advice[at];
    *advice = (struct takeoff_advice){.code = code, .severity = severity};
    char whole[512];
    va_list arguments;
    va_start(arguments, message);
    vsnprintf(whole, sizeof whole, message, arguments);
    va_end(arguments);
    text_copy(advice->where, sizeof advice->where, where);
    text_copy(advice->message, sizeof advice->message, whole);
    text_copy(advice->remedy, sizeof advice->remedy, remedy);
    takeoff->advice_count = at + 1;
}

bool wrong_field(const struct takeoff *takeoff, const char *field, const char *code, struct fault *fault,
                 const char *message, ...) {
    char where[160], whole[512];
    va_list arguments;
    va_start(arguments, message);
    vsnprintf(whole, sizeof whole, message, arguments);
    va_end(arguments);
    snprintf(where, sizeof where, "%s%s%s", takeoff->survey.path, takeoff->survey.path[0] ? "." : "", field);
    return fault_set(fault, code, where, "%s", whole);
}

static size_t batten_substrate(const struct catalogue *catalogue) {
    for (size_t i = 0; i < catalogue->substrate_count; i++)
        if (catalogue->substrates[i].batten)
            return i;
    return SIZE_MAX;
}

/* Codes to rows. */
static bool resolve(struct takeoff *takeoff, struct fault *fault) {
    const struct survey *survey = &takeoff->survey;
    const struct catalogue *catalogue = takeoff->catalogue;
    takeoff->system = catalogue_system(catalogue, survey->system);
    takeoff->finish = catalogue_finish(catalogue, survey->finish);
    takeoff->wall = catalogue_substrate(catalogue, survey->substrate);
    takeoff->into = survey->batten ? batten_substrate(catalogue) : takeoff->wall;
    if (takeoff->system == NULL)
        return wrong_field(takeoff, "system", "unknown-system", fault,
                           "The catalogue has no track system \"%s\".", survey->system);
    if (takeoff->finish == SIZE_MAX || !(takeoff->system->finishes >> takeoff->finish & 1))
        return wrong_field(takeoff, "finish", "unknown-finish", fault,
                           "The system is not made in the finish \"%s\".", survey->finish);
    if (takeoff->wall == SIZE_MAX || takeoff->into == SIZE_MAX)
        return wrong_field(takeoff, "substrate", "unknown-substrate", fault,
                           "The catalogue has no substrate \"%s\".",
                           takeoff->wall == SIZE_MAX ? survey->substrate : "timber batten");
    if (catalogue_heading(catalogue, survey->curtain.heading) == NULL)
        return wrong_field(takeoff, "curtain.heading", "unknown-heading", fault,
                           "The catalogue has no heading \"%s\".", survey->curtain.heading);
    if (takeoff->system->corded != (survey->control != CONTROL_HAND))
        return wrong_field(takeoff, "control", "contradiction", fault,
                           "The system \"%s\" is %s; give a control that fits it (%s), or another system.",
                           survey->system, takeoff->system->corded ? "corded" : "drawn by hand",
                           takeoff->system->corded ? "cord-left or cord-right" : "hand");
    for (size_t i = 0; i < takeoff->system->fixing_count; i++) {
        const struct fixing *fixing = &takeoff->system->fixings[i];
        if (fixing->substrate == takeoff->into && (fixing->position >> survey->position & 1))
            takeoff->fixing = fixing;
    }
    return true;
}

static void check_fixing(struct takeoff *takeoff) {
    if (takeoff->fixing == NULL)
        advise(takeoff, "no-fixing", SEVERITY_REFUSAL, "substrate",
               "Fix a timber batten first, or ask a competent fitter for a fixing that suits.",
               "The system has no fixing for this position into \"%s\".",
               takeoff->catalogue->substrates[takeoff->into].name);
}

bool takeoff_compute(const struct survey *survey, const struct catalogue *catalogue, struct takeoff **takeoff,
                     struct fault *fault) {
    struct takeoff *work = calloc(1, sizeof *work);
    if (work == NULL)
        return fault_memory(fault);
    work->survey = *survey;
    work->catalogue = catalogue;
    if (!resolve(work, fault) || !step_measure(work, fault) || !step_curtains(work, fault)) {
        takeoff_free(work);
        return false;
    }
    check_fixing(work);
    step_set_out(work);
    step_parts(work);
    step_advice(work);
    *takeoff = work;
    return true;
}

void takeoff_free(struct takeoff *takeoff) {
    free(takeoff);
}

json_t *takeoff_run(const json_t *window, const char *path, const struct catalogue *catalogue,
                    struct fault *fault) {
    struct survey survey;
    struct takeoff *takeoff;
    json_t *document = NULL;
    if (!survey_read(window, path, &survey, fault) || !takeoff_compute(&survey, catalogue, &takeoff, fault))
        return NULL;
    if (!takeoff->refused && (document = takeoff_document(takeoff)) == NULL)
        fault_memory(fault);
    for (size_t i = 0; i < takeoff->advice_count && takeoff->refused; i++) {
        const struct takeoff_advice *advice = &takeoff->advice[i];
        char where[160];
        if (advice->severity != SEVERITY_REFUSAL)
            continue;
        snprintf(where, sizeof where, "%s%s%s", path, path[0] ? "." : "", advice->where);
        fault_set(fault, advice->code, where, "%s %s", advice->message, advice->remedy);
        break;
    }
    takeoff_free(takeoff);
    return document;
}
