/* Inside the room: one request to the scheduler. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PRINT_TALK_H
#define ELLWAND_PRINT_TALK_H

#include "print/print.h"

#include <cups/cups.h>

/* A connection with its deadline. */
struct talk {
    http_t *http;
    struct fault *fault;
    long long deadline; /* milliseconds, monotonic */
    int patience;
    char resource[HTTP_MAX_URI]; /* where requests go */
};

bool talk_open(struct talk *talk, const struct print_server *server, struct fault *fault);
/* Whether a printer with this address speaks IPP. */
bool talk_is_ipp(const char *uri);
/* Straight to the printer that a queue's device-uri names; false without fault when it is no IPP printer or does not answer. */
bool talk_open_printer(struct talk *talk, const char *uri, int patience, struct fault *fault);
void talk_close(struct talk *talk);

/* A request about `queue` (NULL: about the scheduler itself), by user ellwand. NULL and fault when out of
 * memory. */
ipp_t *talk_request(struct talk *talk, ipp_op_t operation, const char *queue);

/* The same about the printer with this address. */
ipp_t *talk_request_at(struct talk *talk, ipp_op_t operation, const char *uri);

/* Sends it (and then frees it) and returns the answer, to be freed with ippDelete; `document` may be NULL.
 * NULL and fault when the scheduler did not answer or answered with an error; `subject` names the queue or
 * job in messages. */
ipp_t *talk_ask(struct talk *talk, ipp_t *request, const char *subject, const unsigned char *document,
                size_t count);

/* The first value of an attribute as text, "" when it is not there. Returns `text`. */
char *talk_text(ipp_t *answer, const char *name, char *text, size_t size);
/* All values, comma between them, without "none". Returns `text`. */
char *talk_list(ipp_attribute_t *attribute, char *text, size_t size);
int talk_integer(ipp_t *answer, const char *name, int otherwise);

#endif
