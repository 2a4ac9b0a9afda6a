/* SPDX-License-Identifier: Apache-2.0 */
#include "print/device.h"
#include "print/media.h"
#include "print/report.h"
#include "print/talk.h"
#include "print/words.h"

#include "common/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { QUEUES_MOST = 500 };

static const char *const wanted[] = {"printer-name",
                                     "printer-make-and-model",
                                     "printer-state",
                                     "printer-state-reasons",
                                     "printer-state-message",
                                     "printer-is-accepting-jobs",
                                     "queued-job-count",
                                     "document-format-supported",
                                     "printer-resolution-default",
                                     "device-uri",
                                     "media-size-supported",
                                     "printer-resolution-supported",
                                     "copies-supported",
                                     "orientation-requested-supported"};
enum { WANTED = sizeof wanted / sizeof wanted[0] };

static const char *const state_names[] = {"ready", "busy", "stopped", "refusing"};

const char *print_queue_state_name(enum print_queue_state state) {
    return state_names[state];
}

/* What a queue says beside what goes straight into its description. */
struct told {
    int state;
    bool accepting;
    char message[PRINT_WORDS], device[HTTP_MAX_URI];
};

static void settle_state(struct print_queue *queue, const struct told *told) {
    bool stops;
    const char *words = words_for_reasons(queue->reasons, &stops);
    queue->state = !told->accepting                             ? QUEUE_REFUSING
                   : told->state == IPP_PSTATE_STOPPED || stops ? QUEUE_STOPPED
                   : told->state == IPP_PSTATE_PROCESSING       ? QUEUE_BUSY
                                                                : QUEUE_READY;
    if (!told->accepting)
        words = "The queue takes no jobs now. `cupsaccept` lets it take them again.";
    else if (words == NULL && report_out_of_reach(told->message) && queue->state == QUEUE_BUSY)
        queue->state = QUEUE_STOPPED, words = REPORT_OUT_OF_REACH;
    else if (words == NULL && queue->state == QUEUE_STOPPED)
        words = told->message;
    text_copy(queue->words, sizeof queue->words, words != NULL ? words : "");
}

static void take(ipp_attribute_t *attribute, struct print_queue *queue, struct told *told) {
    const char *name = ippGetName(attribute);
    const char *value = ippGetString(attribute, 0, NULL);
    int along;
    ipp_res_t unit = IPP_RES_PER_INCH;
    if (media_take(attribute, queue))
        return;
    if (strcmp(name, "printer-name") == 0 && value != NULL)
        text_copy(queue->name, sizeof queue->name, value);
    else if (strcmp(name, "printer-make-and-model") == 0 && value != NULL)
        text_copy(queue->model, sizeof queue->model, value);
    else if (strcmp(name, "printer-state-message") == 0 && value != NULL)
        text_copy(told->message, sizeof told->message, value);
    else if (strcmp(name, "printer-state") == 0)
        told->state = ippGetInteger(attribute, 0);
    else if (strcmp(name, "printer-state-reasons") == 0)
        talk_list(attribute, queue->reasons, sizeof queue->reasons);
    else if (strcmp(name, "printer-is-accepting-jobs") == 0)
        told->accepting = ippGetBoolean(attribute, 0);
    else if (strcmp(name, "queued-job-count") == 0)
        queue->waiting = ippGetInteger(attribute, 0);
    else if (strcmp(name, "document-format-supported") == 0)
        queue->takes_pdf = ippContainsString(attribute, "application/pdf");
    else if (strcmp(name, "printer-resolution-default") == 0)
        queue->dots_per_inch = ippGetResolution(attribute, 0, &along, &unit);
    else if (strcmp(name, "device-uri") == 0 && value != NULL)
        text_copy(told->device, sizeof told->device, value);
}

/* Reads one printer's group of attributes, up to the separator, and returns where it stopped. */
static ipp_attribute_t *take_group(ipp_t *answer, ipp_attribute_t *at, struct print_queue *queue,
                                   struct told *told) {
    *told = (struct told){.state = IPP_PSTATE_IDLE, .accepting = true};
    *queue = (struct print_queue){.state = QUEUE_READY};
    for (; at != NULL && ippGetGroupTag(at) == IPP_TAG_PRINTER; at = ippNextAttribute(answer))
        if (ippGetName(at) != NULL)
            take(at, queue, told);
    settle_state(queue, told);
    return at;
}

static ipp_attribute_t *next_group(ipp_t *answer, ipp_attribute_t *at) {
    while (at != NULL && ippGetGroupTag(at) != IPP_TAG_PRINTER)
        at = ippNextAttribute(answer);
    return at;
}

static ipp_t *ask(struct talk *talk, ipp_op_t operation, const char *queue) {
    ipp_t *request = talk_request(talk, operation, queue);
    if (request != NULL)
        ippAddStrings(request, IPP_TAG_OPERATION, IPP_TAG_KEYWORD, "requested-attributes", WANTED, NULL,
                      wanted);
    return talk_ask(talk, request, queue != NULL ? queue : "", NULL, 0);
}

bool print_queue_read(const struct print_server *server, const char *name, struct print_queue *queue,
                      struct fault *fault) {
    struct talk talk;
    struct told told;
    struct print_queue read;
    if (!talk_open(&talk, server, fault))
        return false;
    ipp_t *answer = ask(&talk, IPP_OP_GET_PRINTER_ATTRIBUTES, name);
    bool good = answer != NULL;
    if (good)
        take_group(answer, next_group(answer, ippFirstAttribute(answer)), &read, &told);
    ippDelete(answer);
    talk_close(&talk);
    if (!good)
        return false;
    device_ask(told.device, talk.patience, &read);
    *queue = read;
    return true;
}

static int by_name(const void *a, const void *b) {
    return strcmp(((const struct print_queue *)a)->name, ((const struct print_queue *)b)->name);
}

static bool take_all(ipp_t *answer, struct print_queue **queues, size_t *count, struct fault *fault) {
    struct print_queue *list = NULL;
    size_t used = 0;
    struct told told;
    ipp_attribute_t *at = next_group(answer, ippFirstAttribute(answer));
    for (; at != NULL && used < QUEUES_MOST; at = next_group(answer, at)) {
        struct print_queue *more = realloc(list, (used + 1) * sizeof *list);
        if (more == NULL) {
            free(list);
            return fault_memory(fault);
        }
        list = more;
        at = take_group(answer, at, &list[used++], &told);
    }
    if (used > 1)
        qsort(list, used, sizeof *list, by_name);
    *queues = list;
    *count = used;
    return true;
}

bool print_queue_list(const struct print_server *server, struct print_queue **queues, size_t *count,
                      struct fault *fault) {
    struct talk talk;
    struct fault none;
    if (!talk_open(&talk, server, fault))
        return false;
    talk.fault = &none;
    ipp_t *answer = ask(&talk, IPP_OP_CUPS_GET_PRINTERS, NULL);
    /* A scheduler without queues answers "not found". */
    bool good = answer != NULL || strcmp(none.code, "no-queue") == 0;
    if (!good)
        *fault = none;
    else if (answer == NULL)
        *queues = NULL, *count = 0;
    else
        good = take_all(answer, queues, count, fault);
    ippDelete(answer);
    talk_close(&talk);
    return good;
}

bool print_clear_doubt(const struct print_server *server, const char *queue, struct fault *fault) {
    struct talk talk;
    if (!talk_open(&talk, server, fault))
        return false;
    ipp_t *request = talk_request(&talk, IPP_OP_CUPS_ADD_MODIFY_PRINTER, queue);
    if (request != NULL)
        ippAddString(request, IPP_TAG_PRINTER, IPP_TAG_KEYWORD, "printer-state-reasons", NULL, "none");
    ipp_t *answer = talk_ask(&talk, request, queue, NULL, 0);
    bool good = answer != NULL;
    ippDelete(answer);
    talk_close(&talk);
    return good;
}
