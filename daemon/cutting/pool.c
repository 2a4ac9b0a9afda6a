/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/pool.h"

#include <stdlib.h>
#include <string.h>

void pool_make(const struct model *model, struct pool *pool) {
    *pool = (struct pool){.model = model};
}

void pool_free(struct pool *pool) {
    free(pool->patterns);
    free(pool->parts);
    free(pool->slots);
    *pool = (struct pool){0};
}

size_t pool_bytes(const struct pool *pool) {
    return pool->room * sizeof *pool->patterns + pool->part_room * sizeof *pool->parts +
           pool->slot_count * sizeof *pool->slots;
}

static uint64_t hash_of(int32_t stock, bool returns, const struct layout_part *parts, size_t part_count) {
    uint64_t hash = (uint64_t)stock * 2 + returns + 0x9E3779B97F4A7C15u;
    for (size_t i = 0; i < part_count; i++) {
        hash ^= ((uint64_t)(uint32_t)parts[i].type << 32) | (uint32_t)parts[i].count;
        hash *= 0xFF51AFD7ED558CCDu;
        hash ^= hash >> 32;
    }
    return hash;
}

static bool grow_slots(struct pool *pool) {
    size_t slot_count = pool->slot_count ? pool->slot_count * 2 : 1024;
    uint32_t *slots = calloc(slot_count, sizeof *slots);
    if (slots == NULL)
        return false;
    for (size_t i = 0; i < pool->count; i++) {
        const struct pattern *pattern = &pool->patterns[i];
        uint64_t at = hash_of(pattern->stock, pattern->returns, pool->parts + pattern->first, pattern->parts);
        while (slots[at & (slot_count - 1)] != 0)
            at++;
        slots[at & (slot_count - 1)] = (uint32_t)i + 1;
    }
    free(pool->slots);
    pool->slots = slots;
    pool->slot_count = slot_count;
    return true;
}

static bool grow(struct pool *pool, size_t part_count) {
    if ((pool->count + 1) * 2 > pool->slot_count && !grow_slots(pool))
        return false;
    if (pool->count == pool->room) {
        size_t room = pool->room * 2 + 256;
        struct pattern *more = realloc(pool->patterns, room * sizeof *more);
        if (more == NULL)
            return false;
        pool->patterns = more;
        pool->room = room;
    }
    if (pool->part_count + part_count > pool->part_room) {
        size_t room = (pool->part_count + part_count) * 2 + 1024;
        struct layout_part *more = realloc(pool->parts, room * sizeof *more);
        if (more == NULL)
            return false;
        pool->parts = more;
        pool->part_room = room;
    }
    return true;
}

static bool same(const struct pool *pool, const struct pattern *pattern, int32_t stock, bool returns,
                 const struct layout_part *parts, size_t part_count) {
    return pattern->stock == stock && pattern->returns == returns && pattern->parts == part_count &&
           memcmp(pool->parts + pattern->first, parts, part_count * sizeof *parts) == 0;
}

int32_t pool_add(struct pool *pool, int32_t stock, bool returns, const struct layout_part *parts,
                 size_t part_count) {
    if (!grow(pool, part_count))
        return -1;
    uint64_t at = hash_of(stock, returns, parts, part_count);
    for (;; at++) {
        uint32_t slot = pool->slots[at & (pool->slot_count - 1)];
        if (slot == 0)
            break;
        if (same(pool, &pool->patterns[slot - 1], stock, returns, parts, part_count))
            return (int32_t)slot - 1;
    }
    pool->slots[at & (pool->slot_count - 1)] = (uint32_t)pool->count + 1;
    struct pattern *pattern = &pool->patterns[pool->count];
    *pattern =
        (struct pattern){.stock = stock, .returns = returns, .first = pool->part_count, .parts = part_count};
    memcpy(pool->parts + pool->part_count, parts, part_count * sizeof *parts);
    pool->part_count += part_count;
    for (size_t i = 0; i < part_count; i++)
        pattern->fill += pool->model->types[parts[i].type].width * parts[i].count;
    const struct model_stock *bar = &pool->model->stocks[stock];
    pattern->cost = bar->cost - (returns ? model_worth(pool->model, bar, pattern->fill) : 0);
    return (int32_t)pool->count++;
}
