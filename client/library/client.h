/* The inside of a client. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_LIBRARY_CLIENT_H
#define ELLWAND_CLIENT_LIBRARY_CLIENT_H

#include "link.h"

#include <errno.h>

enum { TIMEOUT_MOST_MS = 24 * 3600 * 1000 };

struct ell_client {
    void *context;
    char endpoint[256];
    struct link_keys keys;
    int timeout_ms;
    struct link requests;
    struct link events; /* open once somebody subscribes */
    char request_id[ELL_REQUEST_ID_MAX + 1];
};

/* Opens the request socket when it is closed, as it is after a refusal of the key. */
bool client_connect(struct ell_client *client, struct ell_error *error) ELL_MUST_CHECK;

#endif
