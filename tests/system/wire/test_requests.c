/* Requests through real sockets with CURVE. SPDX-License-Identifier: Apache-2.0 */
#include "shop.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

Test(requests, answers_echo_and_ping) {
    struct shop shop;
    shop_open(&shop, 2, 8, 5000);
    struct ell_client *client = shop_client(&shop, &shop.known, shop.server.public_half, 5000);
    struct ell_error error = {0};
    char *reply = NULL;
    cr_assert(ell_client_call(client, "echo", NULL, "{\"a\":1}", 0, &reply, &error), "%s", error.message);
    cr_assert_str_eq(reply, "{\"a\":1}");
    free(reply);
    cr_assert(ell_client_call(client, "who", "r-1", NULL, 0, &reply, &error), "%s", error.message);
    cr_assert_str_eq(reply, "{\"key\":\"saw-1\"}");
    cr_assert_str_eq(ell_client_request_id(client), "r-1");
    free(reply);
    cr_assert(ell_client_call(client, "ping", NULL, NULL, 0, &reply, &error), "%s", error.message);
    cr_assert(strstr(reply, "\"key\":\"saw-1\"") != NULL, "%s", reply);
    free(reply);
    cr_assert(!ell_client_call(client, "refuse", NULL, NULL, 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_REFUSED);
    cr_assert_str_eq(error.code, "no-such-order");
    cr_assert_str_eq(error.where, "order");
    ell_client_close(&client);
    shop_close(&shop);
    cr_assert_eq(shop.failures, 0);
}
