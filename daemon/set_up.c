/* SPDX-License-Identifier: Apache-2.0 */
#include "set_up.h"

#include "store/migrate.h"
#include "store/queries.h"
#include "store/store.h"

#include <stdio.h>

static void show_step(void *state, int number, const char *name) {
    (void)state;
    printf("applied %04d %s\n", number, name);
}

bool set_up_migrate(const char *owner, struct fault *fault) {
    return migrate_run(owner, show_step, NULL, fault);
}

static bool find_workshop(struct store_session *session, const char *name, int64_t *id, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_text(&values, name);
    if (!store_run(session, &query_workshop_find, &values, &rows, fault))
        return false;
    bool found = rows_count(&rows) == 1;
    if (found)
        *id = rows_integer(&rows, 0, 0);
    rows_free(&rows);
    return found || fault_set(fault, "unknown-workshop", name, "There is no workshop of this name.");
}

static bool with_owner(const char *owner,
                       bool (*work)(struct store_session *, const char *const arguments[], struct fault *),
                       const char *const arguments[], struct fault *fault) {
    struct store_options options = {
        .conninfo = owner, .connections = 1, .connect_timeout_ms = 5000, .statement_timeout_ms = 30000};
    struct store *store = NULL;
    if (!store_open(&options, &store, fault))
        return false;
    struct store_session *session = store_borrow(store, store_deadline(10000), fault);
    bool good = session != NULL && work(session, arguments, fault);
    if (session != NULL)
        store_return(store, &session);
    store_close(&store);
    return good;
}

static bool save_workshop(struct store_session *session, const char *const arguments[], struct fault *fault) {
    struct store_values values = {0};
    store_text(&values, arguments[0]);
    store_text(&values, arguments[1]);
    return store_run_nothing(session, &query_workshop_save, &values, fault);
}

bool set_up_workshop(const char *owner, const char *name, const char *title, struct fault *fault) {
    return with_owner(owner, save_workshop, (const char *const[]){name, title}, fault);
}

static bool save_key(struct store_session *session, const char *const arguments[], struct fault *fault) {
    int64_t workshop;
    if (!find_workshop(session, arguments[0], &workshop, fault))
        return false;
    struct store_values values = {0};
    store_integer(&values, workshop);
    for (int i = 1; i < 4; i++)
        store_text(&values, arguments[i]);
    return store_run_nothing(session, &query_key_save, &values, fault);
}

bool set_up_key(const char *owner, const char *workshop, const char *name, const char *public_key,
                const char *roles, struct fault *fault) {
    return with_owner(owner, save_key, (const char *const[]){workshop, name, public_key, roles}, fault);
}
