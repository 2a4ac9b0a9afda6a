/* SPDX-License-Identifier: Apache-2.0 */
#include "store/store.h"

#include <libpq-fe.h>
#include <string.h>

bool store_conninfo_secret(const char *conninfo) {
    PQconninfoOption *options = PQconninfoParse(conninfo, NULL);
    bool secret = false;
    for (const PQconninfoOption *option = options; option != NULL && option->keyword != NULL; option++)
        secret = secret ||
                 ((strcmp(option->keyword, "password") == 0 || strcmp(option->keyword, "sslpassword") == 0) &&
                  option->val != NULL);
    PQconninfoFree(options);
    return secret;
}
