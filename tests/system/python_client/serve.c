/* The wire with the small desk of tests/system/wire, steered by lines on standard input: "restart", "events N"; ends with
 * the input. Prints the endpoint and the keys as one JSON line, and "done" after each line.
 * SPDX-License-Identifier: Apache-2.0 */
#include "shop.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zmq.h>

static void print_access(const struct shop *shop) {
    json_t *access =
        json_pack("{s:s, s:s, s:s, s:s, s:s, s:s}", "endpoint", wire_endpoint(shop->wire), "server",
                  shop->server.public_half, "public", shop->known.public_half, "secret", shop->known.secret,
                  "stranger_public", shop->unknown.public_half, "stranger_secret", shop->unknown.secret);
    json_dumpf(access, stdout, JSON_COMPACT);
    putchar('\n');
    json_decref(access);
}

int main(void) {
    static struct shop shop;
    char line[64], endpoint[256];
    setvbuf(stdout, NULL, _IOLBF, 0);
    shop_open(&shop, 2, 16, 5000);
    snprintf(endpoint, sizeof endpoint, "%s", wire_endpoint(shop.wire));
    print_access(&shop);
    while (fgets(line, sizeof line, stdin) != NULL) {
        if (strncmp(line, "restart", 7) == 0) {
            shop_close(&shop);
            zmq_poll(NULL, 0, 300);
            shop_reopen(&shop, endpoint, 2, 16, 5000);
        } else if (strncmp(line, "events ", 7) == 0) {
            shop.events = (int)strtol(line + 7, NULL, 10);
        }
        puts("done");
    }
    shop_close(&shop);
    return shop.failures > 0;
}
