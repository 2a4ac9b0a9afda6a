/* SPDX-License-Identifier: Apache-2.0 */
#include "print/device.h"

#include "common/text.h"
#include "print/talk.h"
#include "print/words.h"

#include <string.h>

enum { JOBS_ASKED = 100 };

static ipp_t *ask_jobs(struct talk *talk, const char *uri, const char *which) {
    static const char *const wanted[] = {"job-id", "job-name", "job-state", "job-impressions-completed",
                                         "job-media-sheets-completed"};
    ipp_t *request = talk_request_at(talk, IPP_OP_GET_JOBS, uri);
    if (request != NULL) {
        ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "which-jobs", NULL, which);
        ippAddInteger(request, IPP_TAG_OPERATION, IPP_TAG_INTEGER, "limit", JOBS_ASKED);
        ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", 5, NULL, wanted);
    }
    return talk_ask(talk, request, uri, NULL, 0);
}

struct seen_job {
    int id, state, pages;
    bool same;
};

static void read_attribute(ipp_attribute_t *attribute, const char *name, struct seen_job *job) {
    const char *field = ippGetName(attribute);
    int number = ippGetInteger(attribute, 0);
    if (strcmp(field, "job-id") == 0)
        job->id = number;
    else if (strcmp(field, "job-state") == 0)
        job->state = number;
    else if (strcmp(field, "job-impressions-completed") == 0 ||
             strcmp(field, "job-media-sheets-completed") == 0)
        job->pages = number > job->pages ? number : job->pages;
    else if (strcmp(field, "job-name") == 0)
        job->same =
            ippGetString(attribute, 0, NULL) != NULL && strcmp(ippGetString(attribute, 0, NULL), name) == 0;
}

static void count_job(const struct seen_job *job, int *newest, struct device_job *found) {
    if (!job->same)
        return;
    found->completed += job->state == IPP_JSTATE_COMPLETED ? 1 : 0;
    if (job->id <= *newest)
        return;
    *newest = job->id;
    found->state = job->state;
    found->pages = job->pages;
}

/* A job is a group of attributes in any order; a nameless one ends it, as does the end. */
static struct device_job find_jobs(ipp_t *answer, const char *name) {
    struct device_job found = {0};
    struct seen_job job = {0};
    int newest = 0;
    ipp_attribute_t *at = ippFirstAttribute(answer);
    for (;; at = ippNextAttribute(answer)) {
        if (at != NULL && ippGetName(at) != NULL) {
            read_attribute(at, name, &job);
            continue;
        }
        count_job(&job, &newest, &found);
        job = (struct seen_job){0};
        if (at == NULL)
            return found;
    }
}

bool device_job_find(const char *uri, const char *name, int patience, struct device_job *job) {
    struct talk talk;
    struct fault unheard;
    if (!talk_open_printer(&talk, uri, patience, &unheard))
        return false;
    ipp_t *over = ask_jobs(&talk, uri, "completed"), *open = NULL;
    bool answered = over != NULL;
    if (answered)
        *job = find_jobs(over, name);
    if (answered && job->state == 0) {
        open = ask_jobs(&talk, uri, "not-completed");
        answered = open != NULL;
    }
    if (open != NULL)
        *job = find_jobs(open, name);
    talk_close(&talk);
    ippDelete(over);
    ippDelete(open);
    return answered;
}

/* "om_100x50mm-label_100x50mm", "na_index-4x6_4x6in": the size is the last part. */
static void read_loaded(ipp_attribute_t *ready, struct print_queue *queue) {
    for (int i = 0; i < ippGetCount(ready) && queue->loaded_count < PRINT_MEDIA; i++) {
        pwg_media_t *size = pwgMediaForPWG(ippGetString(ready, i, NULL));
        if (size == NULL)
            continue;
        queue->loaded[queue->loaded_count].width = size->width / 10;
        queue->loaded[queue->loaded_count].height = size->length / 10;
        queue->loaded_count++;
    }
}

/* The scheduler learns of an empty roll when it sends the next job; the printer knows now. */
static void read_state(ipp_t *answer, struct print_queue *queue) {
    char reasons[PRINT_WORDS];
    bool stops;
    talk_list(ippFindAttribute(answer, "printer-state-reasons", IPP_TAG_ZERO), reasons, sizeof reasons);
    const char *words = words_for_reasons(reasons, &stops);
    queue->printer_stops = stops;
    if (words == NULL || (!stops && queue->words[0] != '\0') || queue->state == QUEUE_REFUSING)
        return;
    text_copy(queue->words, sizeof queue->words, words);
    text_copy(queue->reasons, sizeof queue->reasons, reasons);
    if (stops)
        queue->state = QUEUE_STOPPED;
}

void device_ask(const char *uri, int patience, struct print_queue *queue) {
    static const char *const wanted[] = {"media-ready", "printer-state", "printer-state-reasons"};
    struct talk talk;
    struct fault unheard;
    if (!talk_is_ipp(uri))
        return;
    queue->printer = PRINTER_SILENT;
    if (!talk_open_printer(&talk, uri, patience, &unheard))
        return;
    ipp_t *request = talk_request_at(&talk, IPP_OP_GET_PRINTER_ATTRIBUTES, uri);
    if (request != NULL)
        ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", 3, NULL, wanted);
    ipp_t *answer = talk_ask(&talk, request, queue->name, NULL, 0);
    if (answer != NULL) {
        queue->printer = PRINTER_ANSWERS;
        read_loaded(ippFindAttribute(answer, "media-ready", IPP_TAG_ZERO), queue);
        read_state(answer, queue);
    }
    ippDelete(answer);
    talk_close(&talk);
}
