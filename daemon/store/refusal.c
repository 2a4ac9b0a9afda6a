/* SPDX-License-Identifier: Apache-2.0 */
#include "store/refusal.h"

#include <stddef.h>
#include <string.h>

/* Classes and states as in PostgreSQL's manual, appendix "PostgreSQL Error Codes". The first prefix that fits
 * counts. */
static const struct {
    const char *prefix;
    enum refusal_verdict verdict;
    const char *code;
    const char *message; /* NULL: the server's own */
} rules[] = {
    {"40001", REFUSAL_AGAIN, "retry",
     "Somebody else changed the same things at the same moment; repeat the request."},
    {"40P01", REFUSAL_AGAIN, "retry",
     "Somebody else changed the same things at the same moment; repeat the request."},
    {"0A000", REFUSAL_STALE, "retry", "The database was changed meanwhile; repeat the request."},
    {"26000", REFUSAL_STALE, "retry", "The database was changed meanwhile; repeat the request."},
    {"57014", REFUSAL_FINAL, "timeout",
     "The database took too long and the work was taken back; try again, or ask for less."},
    {"57P", REFUSAL_LOST, "store-unavailable", "The database is stopping or starting; try again shortly."},
    {"25P03", REFUSAL_LOST, "store-unavailable", "The database closed a session that stood idle; try again."},
    {"25006", REFUSAL_LOST, "store-unavailable",
     "The database takes no changes now (it is a standby); try again shortly."},
    {"08", REFUSAL_LOST, "store-unavailable", "The database cannot be reached; try again shortly."},
    {"53", REFUSAL_FINAL, "store-busy", "The database has no room for this now; try again shortly."},
    {"23505", REFUSAL_FINAL, "conflict", "There is one like this already."},
    {"23503", REFUSAL_FINAL, "conflict",
     "It refers to something that is not there, or something still refers to it."},
    {"23514", REFUSAL_FINAL, "conflict", "A value is out of the bounds that the database keeps."},
    {"23502", REFUSAL_FINAL, "conflict", "A value is missing."},
    {"23P01", REFUSAL_FINAL, "conflict", "It overlaps with one that is there already."},
    {"23", REFUSAL_FINAL, "conflict", "The database keeps a rule that this breaks."},
    {"22", REFUSAL_FINAL, "bad-value", NULL},
    {"42501", REFUSAL_FINAL, "not-allowed", NULL},
};

static const char *or_empty(const char *text) {
    return text == NULL ? "" : text;
}

enum refusal_verdict refusal_explain(const struct refusal *refusal, struct fault *fault) {
    const char *state = or_empty(refusal->state);
    const char *message = or_empty(refusal->message);
    if (*state == '\0') {
        fault_set(fault, "store-unavailable", "", "The database cannot be reached; try again shortly. %s",
                  message);
        return REFUSAL_LOST;
    }
    if (strcmp(state, "EW001") == 0) {
        fault_set(fault, refusal->hint == NULL ? "internal" : refusal->hint, or_empty(refusal->detail), "%s",
                  message);
        return REFUSAL_FINAL;
    }
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++)
        if (strncmp(state, rules[i].prefix, strlen(rules[i].prefix)) == 0) {
            fault_set(fault, rules[i].code,
                      refusal->constraint != NULL ? refusal->constraint : or_empty(refusal->statement), "%s",
                      rules[i].message != NULL ? rules[i].message : message);
            return rules[i].verdict;
        }
    fault_set(fault, "internal", or_empty(refusal->statement),
              "The database refused a statement (SQLSTATE %s): %s", state, message);
    return REFUSAL_FINAL;
}
