/* Every pattern that the search has seen, once each. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_POOL_H
#define ELLWAND_CUTTING_POOL_H

#include "cutting/layout.h"

struct pattern {
    int32_t stock;
    bool returns;
    int64_t cost; /* net: the bar less what goes back */
    int64_t fill;
    size_t first, parts; /* pool->parts, types of the model in rising order */
};

struct pool {
    const struct model *model;
    struct pattern *patterns;
    size_t count, room;
    struct layout_part *parts;
    size_t part_count, part_room;
    uint32_t *slots; /* open addressing: number + 1, or 0 */
    size_t slot_count;
};

void pool_make(const struct model *model, struct pool *pool);
void pool_free(struct pool *pool);
size_t pool_bytes(const struct pool *pool);

/* The pattern's number, added if new; -1 for want of memory. Parts in rising order of type. `returns` asks
 * for the remainder to go back, which must be long enough. */
int32_t pool_add(struct pool *pool, int32_t stock, bool returns, const struct layout_part *parts,
                 size_t part_count);

#endif
