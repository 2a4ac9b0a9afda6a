/* SPDX-License-Identifier: Apache-2.0 */
#include "print/talk.h"

#include "common/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static long long now_ms(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return at.tv_sec * 1000LL + at.tv_nsec / 1000000;
}

/* A service must not stop to ask for a password on a terminal. */
static const char *no_password(const char *prompt, http_t *http, const char *method, const char *resource,
                               void *data) {
    (void)prompt, (void)http, (void)method, (void)resource, (void)data;
    return NULL;
}

/* Called now and then while an answer is waited for; 0 gives up. */
static int still_patient(http_t *http, void *data) {
    const struct talk *talk = data;
    (void)http;
    return now_ms() < talk->deadline;
}

static bool unreachable(struct talk *talk, const char *subject) {
    return fault_set(talk->fault, "print-unreachable", subject,
                     "CUPS does not answer (%s). Check that it runs; what waits is printed when it is back.",
                     cupsLastErrorString());
}

/* "host:port" or "[address]:port"; a name with no port keeps the usual one, 631. */
static int split_port(char *host) {
    char *colon = strrchr(host, ':');
    if (host[0] == '/' || colon == NULL || strchr(colon, ']') != NULL)
        return ippPort();
    char *end;
    long port = strtol(colon + 1, &end, 10);
    if (*end != '\0' || port < 1 || port > 65535)
        return ippPort();
    *colon = '\0';
    return (int)port;
}

bool talk_open(struct talk *talk, const struct print_server *server, struct fault *fault) {
    char host[sizeof server->name];
    *talk = (struct talk){.fault = fault, .patience = server->patience > 0 ? server->patience : 5000};
    cupsSetPasswordCB2(no_password, NULL);
    text_copy(host, sizeof host, server->name[0] ? server->name : cupsServer());
    int port = split_port(host);
    talk->http =
        httpConnect2(host, port, NULL, AF_UNSPEC, HTTP_ENCRYPTION_IF_REQUESTED, 1, talk->patience, NULL);
    if (talk->http == NULL)
        return unreachable(talk, host);
    httpSetTimeout(talk->http, 0.1, still_patient, talk);
    return true;
}

bool talk_is_ipp(const char *uri) {
    return strncmp(uri, "ipp://", 6) == 0 || strncmp(uri, "ipps://", 7) == 0;
}

bool talk_open_printer(struct talk *talk, const char *uri, int patience, struct fault *fault) {
    char scheme[32], user[256], host[256];
    int port;
    *talk = (struct talk){.fault = fault, .patience = patience};
    if (httpSeparateURI(HTTP_URI_CODING_ALL, uri, scheme, sizeof scheme, user, sizeof user, host, sizeof host,
                        &port, talk->resource, sizeof talk->resource) < HTTP_URI_STATUS_OK)
        return false;
    bool secure = strcmp(scheme, "ipps") == 0;
    if (!talk_is_ipp(uri))
        return false;
    talk->http =
        httpConnect2(host, port, NULL, AF_UNSPEC,
                     secure ? HTTP_ENCRYPTION_ALWAYS : HTTP_ENCRYPTION_IF_REQUESTED, 1, talk->patience, NULL);
    if (talk->http != NULL)
        httpSetTimeout(talk->http, 0.1, still_patient, talk);
    return talk->http != NULL;
}

void talk_close(struct talk *talk) {
    httpClose(talk->http);
}

ipp_t *talk_request_at(struct talk *talk, ipp_op_t operation, const char *uri) {
    ipp_t *request = ippNewRequest(operation);
    if (request == NULL) {
        fault_memory(talk->fault);
        return NULL;
    }
    if (uri != NULL)
        ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_URI, "printer-uri", NULL, uri);
    ippAddString(request, IPP_TAG_OPERATION, IPP_TAG_NAME, "requesting-user-name", NULL, cupsUser());
    return request;
}

ipp_t *talk_request(struct talk *talk, ipp_op_t operation, const char *queue) {
    char uri[HTTP_MAX_URI];
    bool administers = operation == IPP_OP_CUPS_ADD_MODIFY_PRINTER;
    text_copy(talk->resource, sizeof talk->resource, administers ? "/admin/" : "/");
    if (queue != NULL)
        httpAssembleURIf(HTTP_URI_CODING_ALL, uri, sizeof uri, "ipp", NULL, "localhost", 0, "/printers/%s",
                         queue);
    return talk_request_at(talk, operation, queue != NULL ? uri : NULL);
}

/* Sends request and document; a scheduler that dislikes the request may answer before it has taken all. */
static ipp_t *exchange(struct talk *talk, ipp_t *request, const unsigned char *document, size_t count) {
    size_t length = ippLength(request) + count;
    http_status_t status = cupsSendRequest(talk->http, request, talk->resource, length);
    for (size_t sent = 0; status == HTTP_STATUS_CONTINUE && sent < count;) {
        size_t part = count - sent < 65536 ? count - sent : 65536;
        status = cupsWriteRequestData(talk->http, (const char *)document + sent, part);
        sent += part;
    }
    if (status != HTTP_STATUS_CONTINUE && status != HTTP_STATUS_OK)
        return NULL;
    return cupsGetResponse(talk->http, talk->resource);
}

/* What a scheduler's refusal means. */
static bool refusal(struct talk *talk, ipp_status_t status, const char *subject) {
    switch ((int)status) {
    case IPP_STATUS_ERROR_FORBIDDEN:
    case IPP_STATUS_ERROR_NOT_AUTHENTICATED:
    case IPP_STATUS_ERROR_NOT_AUTHORIZED:
    case IPP_STATUS_ERROR_CUPS_AUTHENTICATION_CANCELED:
        return fault_set(talk->fault, "not-allowed", subject,
                         "CUPS does not let this user do that (%s). Put the user in the group lpadmin.",
                         cupsLastErrorString());
    case IPP_STATUS_ERROR_NOT_FOUND:
        return fault_set(talk->fault, "no-queue", subject,
                         "CUPS knows no such queue or job. `lpstat -e` lists the queues there are.");
    case IPP_STATUS_ERROR_NOT_ACCEPTING_JOBS:
        return fault_set(talk->fault, "queue-refuses", subject,
                         "The queue takes no jobs now. `cupsaccept` lets it take them again.");
    case IPP_STATUS_ERROR_DOCUMENT_FORMAT_NOT_SUPPORTED:
        return fault_set(talk->fault, "print-refused", subject,
                         "The queue does not take PDF. Install cups-filters, or set up the queue for "
                         "driverless printing.");
    default:
        return fault_set(talk->fault, "print-refused", subject, "CUPS refused: %s (%s).",
                         cupsLastErrorString(), ippErrorString(status));
    }
}

ipp_t *talk_ask(struct talk *talk, ipp_t *request, const char *subject, const unsigned char *document,
                size_t count) {
    if (request == NULL)
        return NULL;
    talk->deadline = now_ms() + talk->patience;
    ipp_t *answer = exchange(talk, request, document, count);
    ippDelete(request);
    ipp_status_t status = answer != NULL ? ippGetStatusCode(answer) : cupsLastError();
    if (answer != NULL && status <= IPP_STATUS_OK_EVENTS_COMPLETE)
        return answer;
    bool silent = answer == NULL &&
                  (status < IPP_STATUS_ERROR_BAD_REQUEST || status == IPP_STATUS_ERROR_SERVICE_UNAVAILABLE ||
                   status == IPP_STATUS_ERROR_INTERNAL);
    if (silent)
        unreachable(talk, subject);
    else
        refusal(talk, status, subject);
    ippDelete(answer);
    return NULL;
}

char *talk_text(ipp_t *answer, const char *name, char *text, size_t size) {
    const char *value = ippGetString(ippFindAttribute(answer, name, IPP_TAG_ZERO), 0, NULL);
    text_copy(text, size, value != NULL ? value : "");
    return text;
}

char *talk_list(ipp_attribute_t *attribute, char *text, size_t size) {
    text[0] = '\0';
    for (int i = 0; i < ippGetCount(attribute); i++) {
        const char *value = ippGetString(attribute, i, NULL);
        size_t used = strlen(text);
        if (value != NULL && strcmp(value, "none") != 0 && used + strlen(value) + 2 < size)
            snprintf(text + used, size - used, "%s%s", used > 0 ? "," : "", value);
    }
    return text;
}

int talk_integer(ipp_t *answer, const char *name, int otherwise) {
    ipp_attribute_t *attribute = ippFindAttribute(answer, name, IPP_TAG_ZERO);
    return attribute != NULL ? ippGetInteger(attribute, 0) : otherwise;
}
