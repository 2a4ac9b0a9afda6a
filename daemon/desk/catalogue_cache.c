/* The newest catalogue, read once for each version. SPDX-License-Identifier: Apache-2.0 */
#include "desk/inner.h"
#include "takeoff/catalogue.h"

#include <stdlib.h>

struct catalogue_lease {
    struct catalogue_cache *cache;
    struct catalogue *catalogue;
    int64_t version;
    int holders; /* the cache itself is one, guarded by its mutex */
};

struct catalogue_cache {
    pthread_mutex_t mutex;
    struct catalogue_lease *newest;
};

struct catalogue_cache *catalogue_cache_new(void) {
    struct catalogue_cache *cache = calloc(1, sizeof *cache);
    if (cache != NULL)
        pthread_mutex_init(&cache->mutex, NULL);
    return cache;
}

/* With the mutex held. */
static void let_go(struct catalogue_lease *lease) {
    if (lease == NULL || --lease->holders > 0)
        return;
    catalogue_free(lease->catalogue);
    free(lease);
}

void catalogue_cache_free(struct catalogue_cache **cache) {
    if (*cache == NULL)
        return;
    let_go((*cache)->newest);
    pthread_mutex_destroy(&(*cache)->mutex);
    free(*cache);
    *cache = NULL;
}

const struct catalogue *catalogue_lease_get(const struct catalogue_lease *lease) {
    return lease->catalogue;
}

struct catalogue_lease *catalogue_cache_find(struct catalogue_cache *cache, int64_t version) {
    struct catalogue_lease *found = NULL;
    pthread_mutex_lock(&cache->mutex);
    if (cache->newest != NULL && cache->newest->version == version) {
        found = cache->newest;
        found->holders++;
    }
    pthread_mutex_unlock(&cache->mutex);
    return found;
}

struct catalogue_lease *catalogue_cache_put(struct catalogue_cache *cache, int64_t version,
                                            struct catalogue *catalogue) {
    struct catalogue_lease *lease = calloc(1, sizeof *lease);
    if (lease == NULL) {
        catalogue_free(catalogue);
        return NULL;
    }
    *lease = (struct catalogue_lease){cache, catalogue, version, 2};
    pthread_mutex_lock(&cache->mutex);
    let_go(cache->newest);
    cache->newest = lease;
    pthread_mutex_unlock(&cache->mutex);
    return lease;
}

void catalogue_lease_return(struct catalogue_lease **lease) {
    if (*lease == NULL)
        return;
    struct catalogue_cache *cache = (*lease)->cache;
    pthread_mutex_lock(&cache->mutex);
    let_go(*lease);
    pthread_mutex_unlock(&cache->mutex);
    *lease = NULL;
}
