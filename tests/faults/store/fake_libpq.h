/* A libpq that does what it is told, for faults that no real server produces when one wants them.
 *
 * It takes connections and answers every statement with success, until a rule says otherwise for the n-th time that
 * a statement of some name is sent. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TESTS_FAULTS_STORE_FAKE_LIBPQ_H
#define ELLWAND_TESTS_FAULTS_STORE_FAKE_LIBPQ_H

#include <stdbool.h>

enum fake_event {
    FAKE_ANSWER,      /* success after all; `detail` is the command tag */
    FAKE_ERROR,       /* an error report; `detail` is its SQLSTATE */
    FAKE_FATAL,       /* the same, and then the connection breaks */
    FAKE_ERROR_LATER, /* success first, then in the same answer an error report */
    FAKE_UNSENT,      /* PQsend... fails */
    FAKE_UNFLUSHED,   /* PQflush fails */
    FAKE_PARTIAL,     /* PQflush sends it in 100 parts */
    FAKE_LOST,        /* sent whole, then the connection breaks */
    FAKE_SILENT,      /* sent, no answer until cancelled */
    FAKE_DEAF,        /* no answer ever */
    FAKE_NO_MEMORY,   /* sent, and PQgetResult answers NULL at once */
    FAKE_COPY,        /* the answer is a COPY */
};

/* `name` is a statement's, or "connect", "nonblocking", "cancel" for the call of that name, which then fails.
 * nth counts from 1; 0 is every time. */
void fake_rule(const char *name, int nth, enum fake_event event, const char *detail);

/* How often a statement of that name was sent, to be run and not to be prepared. */
int fake_sent(const char *name);
/* Connections made so far; those that are open; results not yet cleared. */
int fake_connections(void);
int fake_open(void);
int fake_results(void);
/* The most bytes-worth parts that PQflush left unsent when input was consumed: sending and receiving took turns. */
int fake_turns(void);

#endif
