/* SPDX-License-Identifier: Apache-2.0 */
#include "store/store.h"

#include <criterion/criterion.h>

/* The forms are those of the manual of PostgreSQL 15, 34.1.1 (connection strings). */
Test(conninfo, tells_whether_a_password_is_in_it) {
    static const struct {
        const char *text;
        bool secret;
    } cases[] = {
        {"dbname=ellwand password=x", true},
        {"dbname = ellwand  password = 'a b'", true},
        {"postgresql://anna:x@db.example/ellwand", true},
        {"postgresql://db.example/ellwand?password=x", true},
        {"host=db.example sslkey=k sslpassword=x", true},
        {"dbname=ellwand", false},
        {"dbname=password host=/run/password", false},
        {"postgresql://anna@db.example/ellwand", false},
        {"host=db.example passfile=/etc/ellwand/pgpass", false},
        {"", false},
        {"dbname=ellwand password", false}, /* cannot be read; opening the store says so */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        cr_assert_eq(store_conninfo_secret(cases[i].text), cases[i].secret, "%s", cases[i].text);
}
