/* SPDX-License-Identifier: Apache-2.0 */
#include "client.h"

#include "error.h"

#include "common/text.h"

#include <stdlib.h>
#include <string.h>
#include <zmq.h>

enum { TIMEOUT_USUAL_MS = 10000 };

static bool check_options(const struct ell_client_options *options, struct ell_error *error) {
    unsigned char bytes[32];
    if (options->endpoint == NULL || strlen(options->endpoint) >= sizeof((struct ell_client *)NULL)->endpoint)
        return error_set(error, ELL_MISUSE, "bad-endpoint", "endpoint",
                         "An endpoint of at most 255 bytes is wanted.");
    if (options->timeout_ms < 0 || options->timeout_ms > TIMEOUT_MOST_MS)
        return error_set(error, ELL_MISUSE, "out-of-range", "timeout", "A timeout is 0 to 86400000 ms.");
    if (options->server_key == NULL)
        return true;
    if (strlen(options->server_key) != ELL_CURVE_TEXT - 1 ||
        zmq_z85_decode(bytes, options->server_key) == NULL)
        return error_set(error, ELL_MISUSE, "bad-key", "server key",
                         "The daemon's public key is 40 characters of Z85.");
    if (options->key == NULL || options->key->secret[0] == '\0')
        return error_set(
            error, ELL_MISUSE, "bad-key", "key",
            "A key pair of your own, with its secret half, is wanted. Make one with: ellwand key new");
    return true;
}

bool ell_client_open(const struct ell_client_options *options, struct ell_client **client,
                     struct ell_error *error) {
    if (!check_options(options, error))
        return false;
    struct ell_client *made = calloc(1, sizeof *made);
    if (made == NULL)
        return error_memory(error);
    text_copy(made->endpoint, sizeof made->endpoint, options->endpoint);
    made->timeout_ms = options->timeout_ms > 0 ? options->timeout_ms : TIMEOUT_USUAL_MS;
    if (options->server_key != NULL) {
        text_copy(made->keys.server_key, sizeof made->keys.server_key, options->server_key);
        made->keys.own = *options->key;
    }
    made->context = zmq_ctx_new();
    bool good = made->context != NULL ? client_connect(made, error) : error_memory(error);
    if (good)
        *client = made;
    else
        ell_client_close(&made);
    return good;
}

bool client_connect(struct ell_client *client, struct ell_error *error) {
    return client->requests.socket != NULL ||
           link_open(&client->requests, client->context, ZMQ_DEALER, client->endpoint, &client->keys, error);
}

void ell_client_close(struct ell_client **client) {
    struct ell_client *closing = *client;
    *client = NULL;
    if (closing == NULL)
        return;
    link_close(&closing->requests);
    link_close(&closing->events);
    while (closing->context != NULL && zmq_ctx_term(closing->context) != 0 && zmq_errno() == EINTR)
        continue;
    explicit_bzero(closing, sizeof *closing);
    free(closing);
}

const char *ell_client_request_id(const struct ell_client *client) {
    return client->request_id;
}
