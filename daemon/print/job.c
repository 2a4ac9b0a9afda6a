/* SPDX-License-Identifier: Apache-2.0 */
#include "print/device.h"
#include "print/report.h"
#include "print/talk.h"

#include "common/text.h"

#include <stdio.h>
#include <string.h>

static const char *const state_names[] = {"waiting", "sending", "printing",  "held",   "stopped",
                                          "done",    "refused", "cancelled", "unknown"};

const char *print_state_name(enum print_state state) {
    return state_names[state];
}

bool print_state_over(enum print_state state) {
    return state == PRINT_DONE || state == PRINT_REFUSED || state == PRINT_CANCELLED ||
           state == PRINT_UNKNOWN;
}

bool print_submit(const struct print_server *server, const struct print_job *job, int *job_id,
                  struct fault *fault) {
    struct talk talk;
    char media[64];
    if (!talk_open(&talk, server, fault)) {
        text_copy(fault->code, sizeof fault->code, "print-away");
        return false;
    }
    ipp_t *request = talk_request(&talk, IPP_OP_PRINT_JOB, job->queue);
    if (request != NULL) {
        ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "job-name", NULL, job->name);
        ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_MIMETYPE, "document-format", NULL, CUPS_FORMAT_PDF);
        if (job->width > 0)
            ippAddString(request, IPP_TAG_JOB, IPP_TAG_KEYWORD, "media", NULL,
                         print_media_name(job->width, job->height, media));
        ippAddString(request, IPP_TAG_JOB, IPP_TAG_KEYWORD, "print-scaling", NULL, "none");
    }
    ipp_t *answer = talk_ask(&talk, request, job->queue, job->bytes, job->count);
    int id = answer != NULL ? talk_integer(answer, "job-id", 0) : 0;
    if (answer != NULL && id == 0)
        fault_set(fault, "print-refused", job->queue, "CUPS took the job without giving it a number.");
    ippDelete(answer);
    talk_close(&talk);
    if (id == 0)
        return false;
    *job_id = id;
    return true;
}

/* One answer's worth of jobs from `first` on: the newest of this name so far, and the last id seen (0: there were none). */
static bool find_page(struct talk *talk, const char *queue, const char *name, int first, int *newest,
                      int *last) {
    /* Of jobs that are over CUPS 2.4 tells the name only when it is asked for something it must read from their files
     * as well, such as the priority. */
    static const char *const wanted[] = {"job-id", "job-name", "job-priority"};
    ipp_t *request = talk_request(talk, IPP_OP_GET_JOBS, queue);
    if (request != NULL) {
        ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "which-jobs", NULL, "all");
        ippAddInteger(request, IPP_TAG_OPERATION, IPP_TAG_INTEGER, "first-job-id", first);
        ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", 3, NULL, wanted);
    }
    ipp_t *answer = talk_ask(talk, request, queue, NULL, 0);
    if (answer == NULL)
        return false;
    int id = 0;
    bool same = false;
    *last = 0;
    /* A job is a group of attributes in any order; a nameless one ends it, as does the end. */
    for (ipp_attribute_t *at = ippFirstAttribute(answer);; at = ippNextAttribute(answer)) {
        const char *attribute = at != NULL ? ippGetName(at) : NULL;
        if (attribute == NULL) {
            *newest = same && id > *newest ? id : *newest;
            *last = id > *last ? id : *last;
            id = 0;
            same = false;
        } else if (strcmp(attribute, "job-id") == 0) {
            id = ippGetInteger(at, 0);
        } else if (strcmp(attribute, "job-name") == 0) {
            const char *text = ippGetString(at, 0, NULL);
            same = text != NULL && strcmp(text, name) == 0;
        }
        if (at == NULL)
            break;
    }
    ippDelete(answer);
    return true;
}

bool print_find(const struct print_server *server, const char *queue, const char *name, int *job_id,
                struct fault *fault) {
    struct talk talk;
    int newest = 0, last = 0;
    if (!talk_open(&talk, server, fault))
        return false;
    bool good;
    /* The scheduler cuts its answers, to 500 jobs by default. */
    do
        good = find_page(&talk, queue, name, last + 1, &newest, &last);
    while (good && last > 0);
    talk_close(&talk);
    if (good)
        *job_id = newest;
    return good;
}

static ipp_t *ask_job(struct talk *talk, ipp_op_t operation, const char *queue, int job_id) {
    static const char *const wanted[] = {"job-name", "job-state", "job-state-reasons",
                                         "job-printer-state-message", "time-at-processing"};
    char subject[64];
    snprintf(subject, sizeof subject, "job %d", job_id);
    ipp_t *request = talk_request(talk, operation, queue);
    if (request != NULL) {
        ippAddInteger(request, IPP_TAG_OPERATION, IPP_TAG_INTEGER, "job-id", job_id);
        if (operation == IPP_OP_GET_JOB_ATTRIBUTES)
            ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", 5, NULL,
                          wanted);
    }
    return talk_ask(talk, request, subject, NULL, 0);
}

static bool no_job(struct fault *fault) {
    if (strcmp(fault->code, "no-queue") == 0)
        text_copy(fault->code, sizeof fault->code, "no-job");
    return false;
}

static bool read_job(struct talk *talk, const char *queue, int job_id, struct report *report,
                     struct print_status *status) {
    ipp_t *answer = ask_job(talk, IPP_OP_GET_JOB_ATTRIBUTES, queue, job_id);
    if (answer == NULL)
        return no_job(talk->fault);
    report->job_state = talk_integer(answer, "job-state", IPP_JSTATE_PENDING);
    talk_list(ippFindAttribute(answer, "job-state-reasons", IPP_TAG_ZERO), report->job_reasons,
              sizeof report->job_reasons);
    talk_text(answer, "job-printer-state-message", report->job_message, sizeof report->job_message);
    talk_text(answer, "job-name", status->name, sizeof status->name);
    status->started = talk_integer(answer, "time-at-processing", 0) > 0;
    ippDelete(answer);
    return true;
}

static bool read_printer(struct talk *talk, const char *queue, struct report *report,
                         struct print_status *status) {
    static const char *const wanted[] = {"printer-state", "printer-state-reasons", "printer-state-message",
                                         "device-uri"};
    ipp_t *request = talk_request(talk, IPP_OP_GET_PRINTER_ATTRIBUTES, queue);
    if (request != NULL)
        ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", 4, NULL, wanted);
    ipp_t *answer = talk_ask(talk, request, queue, NULL, 0);
    if (answer == NULL)
        return false;
    report->printer_state = talk_integer(answer, "printer-state", IPP_PSTATE_IDLE);
    talk_list(ippFindAttribute(answer, "printer-state-reasons", IPP_TAG_ZERO), status->reasons,
              sizeof status->reasons);
    talk_text(answer, "printer-state-message", report->printer_message, sizeof report->printer_message);
    talk_text(answer, "device-uri", report->device, sizeof report->device);
    ippDelete(answer);
    return true;
}

/* The scheduler now and then calls a job completed that the printer aborted (seen with CUPS 2.4.2, about one in
 * fourteen), and asks for a look where the printer knows: the printer's own word counts, if it has one. */
static void ask_printer_too(const struct report *report, int patience, struct print_status *status) {
    struct device_job job;
    if (!print_state_over(status->state) || !status->started ||
        !device_job_find(report->device, status->name, patience, &job))
        return;
    status->times_done = job.completed;
    /* CUPS has a count as well, but its ipp backend says 1 for each document, printed or not. */
    status->pages_done = job.pages;
    if (status->state != PRINT_DONE && status->state != PRINT_UNKNOWN)
        return;
    if (job.state == IPP_JSTATE_COMPLETED)
        report_say(status, PRINT_DONE, "");
    else if (job.state == IPP_JSTATE_ABORTED || job.state == IPP_JSTATE_CANCELED)
        report_say(status, PRINT_REFUSED,
                   "The printer gave the job up. Check the loaded stock and its size, then print it again.");
    else if (job.state == IPP_JSTATE_HELD)
        report_say(status, PRINT_REFUSED, REPORT_NOT_TAKEN); /* made, and no document came */
    else if (job.state != 0)
        report_say(status, PRINT_PRINTING, "");
}

bool print_follow(const struct print_server *server, const char *queue, int job_id,
                  struct print_status *status, struct fault *fault) {
    struct talk talk;
    struct report report = {.job_state = 0};
    struct print_status read = {.state = PRINT_WAITING};
    if (!talk_open(&talk, server, fault))
        return false;
    bool good = read_job(&talk, queue, job_id, &report, &read) && read_printer(&talk, queue, &report, &read);
    talk_close(&talk);
    if (!good)
        return false;
    report_settle(&report, &read);
    ask_printer_too(&report, talk.patience / 2, &read);
    *status = read;
    return true;
}

bool print_cancel(const struct print_server *server, const char *queue, int job_id, struct fault *fault) {
    struct talk talk;
    struct fault refused;
    if (!talk_open(&talk, server, fault))
        return false;
    talk.fault = &refused;
    ipp_t *answer = ask_job(&talk, IPP_OP_CANCEL_JOB, queue, job_id);
    bool over = answer == NULL && cupsLastError() == IPP_STATUS_ERROR_NOT_POSSIBLE;
    if (answer == NULL && !over) {
        no_job(&refused);
        *fault = refused;
    }
    ippDelete(answer);
    talk_close(&talk);
    return answer != NULL || over;
}
