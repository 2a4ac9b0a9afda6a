/* Prints again what was held. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_steps.h"

#include <inttypes.h>
#include <stdio.h>

struct retry {
    int64_t job, from; /* from: the first label to print; 0: the first that is not known to have come out */
    char reason[300];
};

static bool read_retry(const json_t *body, struct retry *retry, struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    retry->job = form_integer(&form, "job", 1, INT64_MAX);
    retry->from = form_integer_or(&form, "from", 1, 1000, 0);
    form_text_or(&form, "reason", retry->reason, sizeof retry->reason, "to be printed again");
    return form_close(&form);
}

static bool check_from(const struct retry *retry, const struct print_subject *subject, struct fault *fault) {
    if (retry->from > subject->labels)
        return fault_set(fault, "out-of-range", "from", "The job has %" PRId64 " labels.", subject->labels);
    return retry->from > subject->done ||
           fault_set(fault, "came-out", "from",
                     "Labels 1 to %" PRId64
                     " came out; print one of them again with `ellwand label reprint CODE`.",
                     subject->done);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct retry retry;
    struct print_subject subject;
    if (!read_retry(call->body, &retry, fault) || !desk_reason(call, retry.reason, fault) ||
        !print_lock(call, retry.job, &subject, fault))
        return NULL;
    if (retry.from == 0)
        return subject.held && subject.unsure
                   ? print_as_reprints(call, &subject, subject.station, fault)
                   : print_become(call, &subject, "queued", retry.reason, -1, fault);
    if (!check_from(&retry, &subject, fault))
        return NULL;
    return print_become(call, &subject, "queued", retry.reason, retry.from - 1, fault);
}

const struct desk_verb desk_verb_print_retry = {
    "print.retry", ROLE_SAW | ROLE_STORES | ROLE_DESK, DESK_CHANGES,
    "Prints a held print job again, from a label on, or a waiting one at once.", run};
