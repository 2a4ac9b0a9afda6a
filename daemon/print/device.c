/* SPDX-License-Identifier: Apache-2.0 */
#include "print/device.h"

#include "print/talk.h"

#include <string.h>

enum { JOBS_ASKED = 100 };

static ipp_t *ask_finished(struct talk *talk, const char *uri) {
    static const char *const wanted[] = {"job-id", "job-name", "job-state"};
    ipp_t *request = talk_request_at(talk, IPP_OP_GET_JOBS, uri);
    if (request != NULL) {
        ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "which-jobs", NULL, "completed");
        ippAddInteger(request, IPP_TAG_OPERATION, IPP_TAG_INTEGER, "limit", JOBS_ASKED);
        ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", 3, NULL, wanted);
    }
    return talk_ask(talk, request, uri, NULL, 0);
}

struct finished {
    int id, state;
    bool same;
};

static void read_attribute(ipp_attribute_t *attribute, const char *name, struct finished *job) {
    const char *field = ippGetName(attribute);
    if (strcmp(field, "job-id") == 0)
        job->id = ippGetInteger(attribute, 0);
    else if (strcmp(field, "job-state") == 0)
        job->state = ippGetInteger(attribute, 0);
    else if (strcmp(field, "job-name") == 0)
        job->same =
            ippGetString(attribute, 0, NULL) != NULL && strcmp(ippGetString(attribute, 0, NULL), name) == 0;
}

/* A job is a group of attributes in any order; a nameless one ends it, as does the end. */
static int newest_state(ipp_t *answer, const char *name) {
    struct finished job = {0}, newest = {0};
    ipp_attribute_t *at = ippFirstAttribute(answer);
    for (;; at = ippNextAttribute(answer)) {
        if (at != NULL && ippGetName(at) != NULL) {
            read_attribute(at, name, &job);
            continue;
        }
        if (job.same && job.id > newest.id)
            newest = job;
        job = (struct finished){0};
        if (at == NULL)
            return newest.state;
    }
}

int device_job_state(const char *uri, const char *name, int patience) {
    struct talk talk;
    struct fault unheard;
    if (!talk_open_printer(&talk, uri, patience, &unheard))
        return 0;
    ipp_t *answer = ask_finished(&talk, uri);
    int state = answer != NULL ? newest_state(answer, name) : 0;
    ippDelete(answer);
    talk_close(&talk);
    return state;
}
