/* A place to try the store in: databases on the private server that with-cluster started. What cannot be made
 * ends the test. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TESTS_SYSTEM_STORE_PLACE_H
#define ELLWAND_TESTS_SYSTEM_STORE_PLACE_H

#include "store/queries.h"
#include "store/store.h"

/* Makes the database `name` anew, empty or with the schema, and a login "clerk" of the daemon's role. */
void place_empty(const char *name);
void place_migrated(const char *name);

/* Connection strings for it; each call answers other memory, 8 at a time. */
const char *place_owner(const char *name);
const char *place_clerk(const char *name);

/* Runs SQL as the superuser; the first value of the last result is copied to `value` unless NULL. */
void place_sql(const char *database, char value[256], const char *format, ...) PRINTF_LIKE(3, 4);

/* postgres_stop, postgres_kill, postgres_start of deploy/lib/services.sh. */
void place_server(const char *function);

/* A store for the clerk; it closes with store_close. */
struct store *place_store(const char *database, int connections);

/* Runs one query in a session of its own; what it answers as text goes to `value` unless NULL. */
bool place_run(struct store *store, int timeout_ms, const struct query *query, struct store_values *values,
               char value[256], struct fault *fault);

/* Milliseconds that have passed since `since` (of store_deadline(0)). */
int64_t place_since(int64_t since);

#endif
