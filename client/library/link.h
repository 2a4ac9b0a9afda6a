/* One socket to the daemon with a watch on its connection.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_LIBRARY_LINK_H
#define ELLWAND_CLIENT_LIBRARY_LINK_H

#include <ellwand/client.h>

struct link {
    void *socket, *monitor; /* NULL when closed */
    bool up;                /* the keys were accepted and the connection stands */
    bool lost;              /* it stood once and was lost; link_wait sets it, the user clears it */
    bool refused;           /* the daemon does not know our key; the library tries no more */
    bool heard;             /* something accepted a TCP connection */
    bool mismatched;        /* what answered speaks another security: it has no keys, or wants some */
};

struct link_keys {
    char server_key[ELL_CURVE_TEXT]; /* "" for none */
    struct ell_key own;
};

/* A connected socket of `type` (ZMQ_DEALER or ZMQ_SUB). */
bool link_open(struct link *link, void *context, int type, const char *endpoint, const struct link_keys *keys,
               struct ell_error *error) ELL_MUST_CHECK;
void link_close(struct link *link);

/* Waits until something can be received, the connection changes, or timeout_ms pass; takes note of the
 * connection. True when a message can be received. */
bool link_wait(struct link *link, long long timeout_ms);

/* Before something new is asked: what was lost earlier does not matter any more. */
void link_refresh(struct link *link);

/* Why there is no answer, as far as the connection tells. Returns false. */
bool link_silence(const struct link *link, const char *endpoint, const char *what, struct ell_error *error);

/* Receives one frame as text closed by NUL from malloc, at most ELL_BODY_MAX bytes. NULL when there is none
 * or it is too large; *more tells whether the message goes on. */
char *link_frame(struct link *link, size_t *size, bool *more);
/* Reads what is left of a message. */
void link_skip(struct link *link, bool more);

#endif
