/* The daemon's role can do what its statements need, and no more. SPDX-License-Identifier: Apache-2.0 */
#include "explain.h"
#include "place.h"

#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <stdio.h>
#include <string.h>

enum { RIGHTS_MOST = 400 };

struct right {
    char table[64], privilege[16], column[64]; /* column "" for the whole table */
};

/* What may be written; reading is allowed throughout the schema. */
static int read_rights(PGconn *link, struct right rights[RIGHTS_MOST]) {
    PGresult *result = PQexec(
        link, "select relname, privilege_type, '' from pg_class, aclexplode(relacl) granted "
              "where relnamespace = 'ellwand'::regnamespace and relkind in ('r', 'v') and privilege_type <> "
              "'SELECT' "
              "and grantee = 'ellwand_daemon'::regrole "
              "union all select relname, privilege_type, attname "
              "from pg_attribute join pg_class on pg_class.oid = attrelid, aclexplode(attacl) granted "
              "where relnamespace = 'ellwand'::regnamespace and privilege_type <> 'SELECT' "
              "and grantee = 'ellwand_daemon'::regrole order by 1, 2, 3");
    int count = PQntuples(result);
    cr_assert(count > 20 && count <= RIGHTS_MOST, "%d rights: %s", count, PQerrorMessage(link));
    for (int i = 0; i < count; i++) {
        snprintf(rights[i].table, sizeof rights[i].table, "%s", PQgetvalue(result, i, 0));
        snprintf(rights[i].privilege, sizeof rights[i].privilege, "%s", PQgetvalue(result, i, 1));
        snprintf(rights[i].column, sizeof rights[i].column, "%s", PQgetvalue(result, i, 2));
    }
    PQclear(result);
    return count;
}

/* Takes the right away for a moment; whether a statement then is refused. */
static bool is_needed(PGconn *link, const struct right *right) {
    char text[512];
    bool needed = false;
    snprintf(text, sizeof text,
             "begin; revoke %.15s%s%.63s%s on %.63s from ellwand_daemon; set local role ellwand_daemon; "
             "savepoint each",
             right->privilege, *right->column != '\0' ? " (" : "", right->column,
             *right->column != '\0' ? ")" : "", right->table);
    cr_assert(succeeded(PQexec(link, text)), "%s", PQerrorMessage(link));
    for (size_t i = 0; i < queries_count && !needed; i++)
        if (is_daemons(queries[i]) && can_be_explained(queries[i]) &&
            strstr(queries[i]->text, right->table) != NULL) {
            needed = !explain(link, queries[i]);
            cr_assert(succeeded(PQexec(link, "rollback to each")));
        }
    cr_assert(succeeded(PQexec(link, "rollback")));
    return needed;
}

Test(rights, each_right_to_write_is_needed_by_a_statement) {
    static struct right rights[RIGHTS_MOST];
    place_migrated("rights");
    PGconn *link = connect_as(place_owner("rights"));
    for (size_t i = 0; i < queries_count; i++)
        cr_assert(prepare(link, queries[i]), "%s: %s", queries[i]->name, PQerrorMessage(link));
    int count = read_rights(link, rights), idle = 0;
    for (int i = 0; i < count; i++)
        if (!is_needed(link, &rights[i])) {
            fprintf(stderr, "No statement needs %s on %s %s\n", rights[i].privilege, rights[i].table,
                    rights[i].column);
            idle++;
        }
    PQfinish(link);
    cr_assert_eq(idle, 0, "%d rights are of no use; take them away by a migration", idle);
}

/* Whoever holds the daemon's login and no more. */
Test(rights, what_the_daemon_must_never_do) {
    static const char *const never[] = {
        "create schema other",
        "create table ellwand.other (id integer)",
        "create table public.other (id integer)",
        "create temporary table other (id integer)",
        "create function ellwand.other() returns integer language sql as 'select 1'",
        "insert into migration (number, name, checksum) values (9999, 'x', 'x')",
        "insert into allowed_step values ('order', 'dispatched', 'taken')",
        "delete from allowed_step",
        "insert into history (workshop, kind, subject, from_state, to_state, key_name, request_id, reason) "
        "values (1, 'order', 1, '', 'taken', '', '', '')",
        "delete from history",
        "update ledger set delta = 1",
        "delete from ledger",
        "truncate ledger",
        "update stock set on_hand = 5",
        "update stock set reserved = 0",
        "insert into stock (workshop, part, bin, on_hand) values (1, 1, 1, 5)",
        "update kit_line set picked = wanted",
        "update kit set corded = false",
        "update piece set length = 1",
        "update job_window set takeoff = '{}'",
        "update bar set length = 1",
        "update plan_bar set bar_length = 1",
        "update request_log set request_id = 'another'",
        "delete from request_log",
        "delete from client_key",
        "delete from job_order",
        "delete from piece",
        "delete from bar",
        "delete from plan_bar",
        "delete from label",
        "delete from purchase",
        "delete from purchase_receipt",
        "update purchase_receipt set quantity = 1",
        "update purchase_line set received = quantity",
        "update purchase_line set part = 1",
        "insert into workshop (name, title) values ('other', 'Other')",
        "alter table ledger disable trigger all",
        "drop trigger keep_forever on ledger",
        "set session_replication_role = replica",
        "create role other",
        "copy ledger to program 'true'",
        "select pg_read_file('postgresql.conf')",
    };
    place_migrated("never");
    PGconn *link = connect_as(place_clerk("never"));
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        PGresult *result = PQexec(link, never[i]);
        const char *state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
        cr_expect(state != NULL && strcmp(state, "42501") == 0, "%s: %s", never[i],
                  state == NULL ? "was allowed" : PQresultErrorMessage(result));
        PQclear(result);
    }
    PQfinish(link);
}
