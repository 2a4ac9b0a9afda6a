/* Bringing a database's schema up to this program, and seeing that it is. SPDX-License-Identifier: Apache-2.0
 */
#ifndef ELLWAND_STORE_MIGRATE_H
#define ELLWAND_STORE_MIGRATE_H

#include "common/fault.h"
#include "store/query.h"

struct store;

/* Applies the migrations that the database lacks, in order, each in one transaction; two at once wait for
 * each other. `conninfo` is the owner's (who may create schemas and roles). `progress` (may be NULL) is
 * called after each one. On failure those before the failing one stay applied. Faults: "migration-changed"
 * when one was applied with another text, "schema-ahead" when the database has one that this program does not
 * know, "migration-failed" with its name and what the server says, "store-unavailable". */
bool migrate_run(const char *conninfo, void (*progress)(void *state, int number, const char *name),
                 void *state, struct fault *fault) MUST_CHECK;

/* The same with migrations of the caller's choice, in rising order of numbers. */
bool migrate_run_these(const char *conninfo, const struct migration *list, size_t count,
                       void (*progress)(void *state, int number, const char *name), void *state,
                       struct fault *fault) MUST_CHECK;

/* Whether the database has just the migrations of this program. Faults: "schema-behind", "schema-ahead",
 * "migration-changed", each with what to do; "store-unavailable" within 10 s. */
bool migrate_check(struct store *store, struct fault *fault) MUST_CHECK;

#endif
