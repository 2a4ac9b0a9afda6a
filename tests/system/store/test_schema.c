/* The blocks of schema_refused.sql. SPDX-License-Identifier: Apache-2.0 */
#include "place.h"

#include <criterion/criterion.h>
#include <libpq-fe.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *read_text(const char *name) {
    char path[512];
    snprintf(path, sizeof path, "%s/tests/system/store/%s", ELLWAND_SOURCE_DIR, name);
    FILE *file = fopen(path, "r");
    cr_assert_not_null(file, "%s", path);
    char *text = calloc(1, 1 << 18);
    cr_assert_not_null(text);
    size_t length = fread(text, 1, (1 << 18) - 1, file);
    fclose(file);
    cr_assert(length > 0 && length < (1 << 18) - 1);
    return text;
}

static void keep_quiet(void *state, const PGresult *notice) {
    (void)state;
    (void)notice;
}

/* Constraint, own code, or state: whatever names best why it was refused; "" when it was not. */
static const char *refusal_of(const PGresult *result) {
    static const int fields[] = {PG_DIAG_CONSTRAINT_NAME, PG_DIAG_MESSAGE_HINT, PG_DIAG_SQLSTATE};
    const char *state = PQresultErrorField(result, PG_DIAG_SQLSTATE);
    if (state == NULL)
        return "";
    for (size_t i = 0; i < 3; i++) {
        bool ours = fields[i] != PG_DIAG_MESSAGE_HINT || strcmp(state, "EW001") == 0;
        const char *value = PQresultErrorField(result, fields[i]);
        if (ours && value != NULL)
            return value;
    }
    return "";
}

/* All but the last of the block's statements only lead up to it. Statements end at the end of a line. */
static char *last_statement(char *block) {
    size_t length = strlen(block);
    while (length > 0 && block[length - 1] == '\n')
        block[--length] = '\0';
    char *last = block;
    for (char *at = block; (at = strstr(at, ";\n")) != NULL; at += 2)
        last = at + 2;
    return last;
}

static void run_block(PGconn *link, const char *expected, const char *why, char *block) {
    char *last = last_statement(block);
    char saved = *last;
    *last = '\0';
    PGresult *result = PQexec(link, "begin");
    PQclear(result);
    result = PQexec(link, *block == '\0' ? "select" : block);
    cr_expect_str_eq(refusal_of(result), "", "%s: what leads up to it was refused: %s", why,
                     PQresultErrorMessage(result));
    PQclear(result);
    *last = saved;
    result = PQexec(link, last);
    cr_expect_str_eq(refusal_of(result), expected, "%s: expected \"%s\", not \"%s\" %s", why, expected,
                     refusal_of(result), PQresultErrorMessage(result));
    PQclear(result);
    PQclear(PQexec(link, "rollback"));
}

Test(schema, refuses_by_itself_what_no_program_may_do) {
    place_migrated("schema");
    char *base = read_text("schema_base.sql");
    PGconn *link = PQconnectdb(place_owner("schema"));
    PQsetNoticeReceiver(link, keep_quiet, NULL);
    PGresult *result = PQexec(link, base);
    cr_assert_str_eq(refusal_of(result), "", "%s", PQresultErrorMessage(result));
    PQclear(result);
    char *text = read_text("schema_refused.sql");
    int blocks = 0;
    for (char *at = strstr(text, "\n\n-- "), *next = NULL; at != NULL; at = next, blocks++) {
        char expected[80] = "", why[200] = "";
        next = strstr(at + 2, "\n\n-- ");
        if (next != NULL)
            *next = '\0';
        cr_assert(sscanf(at, "\n\n-- refuse %79[^:]: %199[^\n]", expected, why) == 2 ||
                      sscanf(at, "\n\n-- allow: %199[^\n]", why) == 1,
                  "A block starts with what is no heading: %.80s", at + 2);
        run_block(link, expected, why, strchr(at + 2, '\n') + 1);
        if (next != NULL)
            *next = '\n';
    }
    cr_expect_gt(blocks, 50);
    PQfinish(link);
    free(base);
    free(text);
}
