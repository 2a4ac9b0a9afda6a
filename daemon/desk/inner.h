/* What the files of the desk share and nobody else sees. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_INNER_H
#define ELLWAND_DESK_INNER_H

#include "desk/desk.h"
#include "desk/keys.h"
#include "desk/verb.h"
#include "desk/wake.h"

struct catalogue_cache;
struct planner;
struct print_workers;
struct store_listener;

struct desk {
    struct store *store;
    int64_t workshop; /* its id */
    char workshop_name[64];
    char instance[64];        /* this daemon among those on one database: host, process id, start */
    char cups_server[128];    /* "" for libcups's own choice */
    struct wake planner_wake; /* closed by desk_close before the threads are joined */
    struct wake printer_wake;
    struct known_keys known_keys; /* of the thread that lets keys in */
    struct catalogue_cache *catalogues;
    struct store_listener *listener;
    struct planner *planner;
    struct print_workers *print_workers;
};

/* The desk's own threads. Each sleeps on its bell, works in its own transactions, and ends when the bell is
 * closed;
 * *_stop joins them and takes NULL in its stride. */
bool planner_start(struct desk *desk, struct planner **planner, struct fault *fault) MUST_CHECK;
void planner_stop(struct planner **planner);
bool print_workers_start(struct desk *desk, struct print_workers **workers, struct fault *fault) MUST_CHECK;
void print_workers_stop(struct print_workers **workers);

/* The table of verbs that the build makes from verbs/, in order of name. */
extern const struct desk_verb *const desk_verb_table[];
extern const size_t desk_verb_count;

/* Milliseconds of CLOCK_MONOTONIC. */
int64_t desk_now_ms(void);

/* Catalogues by version; a lease keeps one alive until it is given back. */
struct catalogue_cache *catalogue_cache_new(void);
void catalogue_cache_free(struct catalogue_cache **cache);
struct catalogue_lease;
const struct catalogue *catalogue_lease_get(const struct catalogue_lease *lease);
/* NULL when that version is not the one kept. */
struct catalogue_lease *catalogue_cache_find(struct catalogue_cache *cache, int64_t version);
/* Keeps `catalogue` (taken over) as the newest. NULL without memory, and the catalogue is freed. */
struct catalogue_lease *catalogue_cache_put(struct catalogue_cache *cache, int64_t version,
                                            struct catalogue *catalogue);
void catalogue_lease_return(struct catalogue_lease **lease);

#endif
