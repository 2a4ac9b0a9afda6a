/* A wire with a small desk behind it that needs no database, for tests.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef TESTS_WIRE_SHOP_H
#define TESTS_WIRE_SHOP_H

#include "wire/wire.h"

#include <ellwand/client.h>
#include <stdatomic.h>

/* Verbs of this desk: "echo" gives the body back, "sleep" waits the body's milliseconds, "count" adds one
 * unless the (key, request id) was seen, and gives the number, "refuse" is an error, "large" gives a reply of
 * the body's bytes. */
struct shop {
    struct wire *wire;
    struct ell_key server, known, unknown;
    atomic_int answered, failures, asked_keys;
    atomic_bool keys_unavailable;
    atomic_int events;
};

/* Opens on free loopback ports with `workers` and `queue`; aborts the test when it cannot. */
void shop_open(struct shop *shop, int workers, int queue, int64_t request_ms);
/* The same at a given endpoint, with the keys the shop already has. */
void shop_reopen(struct shop *shop, const char *endpoint, int workers, int queue, int64_t request_ms);
void shop_close(struct shop *shop);

/* A client with this key. */
struct ell_client *shop_client(const struct shop *shop, const struct ell_key *key, const char *server_key,
                               int timeout_ms);

#endif
