/* The split itself: things are taken largest first; a first answer puts each where it costs least, then branch and bound looks
 * for a cheaper one. SPDX-License-Identifier: Apache-2.0 */
#include "packing/inside.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SEARCH_ITEMS = 40, SEARCH_STEPS = 200000 };

/* Things that lie together, and the cheapest wrap that takes them. */
struct group {
    uint64_t wraps; /* bits of those that each of its things fits into */
    int64_t area, mass, price;
    size_t wrap;
};

struct split {
    const struct packing_item *items;
    const struct packing_wrap *wraps;
    size_t item_count, wrap_count;
    size_t by_price[PACKING_WRAPS]; /* wraps, the cheapest first */
    size_t *order;                  /* items, the largest first */
    uint64_t *fits;                 /* for each item, its wraps */
    struct group *groups;
    size_t group_count;
    size_t *now, *best; /* for each item, its group */
    int64_t price, best_price;
    size_t best_count;
    long steps;
};

static bool check_item(const struct packing_item *item, size_t index, struct fault *fault) {
    const struct {
        const char *name;
        int64_t value, least;
    } checks[] = {{"length", item->length, 1},
                  {"width", item->width, 1},
                  {"height", item->height, 1},
                  {"mass", item->mass, 0}};
    char where[64];
    for (size_t i = 0; i < sizeof checks / sizeof checks[0]; i++)
        if (checks[i].value < checks[i].least || checks[i].value > INT64_C(1000000000)) {
            snprintf(where, sizeof where, "items[%zu].%s", index, checks[i].name);
            return fault_set(fault, "out-of-range", where,
                             "This measure is missing or beyond all bounds; check the catalogue.");
        }
    return true;
}

static bool read_items(struct split *split, struct fault *fault) {
    char where[64];
    for (size_t i = 0; i < split->item_count; i++) {
        if (!check_item(&split->items[i], i, fault))
            return false;
        for (size_t w = 0; w < split->wrap_count; w++)
            if (packing_fits(&split->items[i], &split->wraps[w]))
                split->fits[i] |= UINT64_C(1) << w;
        if (split->fits[i] == 0) {
            snprintf(where, sizeof where, "items[%zu]", i);
            return fault_set(fault, "fits-no-parcel", where,
                             "No tube or box takes this; add one to the catalogue, or carry it yourselves.");
        }
        split->order[i] = i;
    }
    return true;
}

static int larger(const struct packing_item *one, const struct packing_item *other) {
    int64_t difference = other->length - one->length;
    if (difference == 0)
        difference = packing_area(other) - packing_area(one);
    if (difference == 0)
        difference = other->mass - one->mass;
    return (difference > 0) - (difference < 0);
}

/* Insertion: orders are short, and equal things keep their order. */
static void sort_items(struct split *split) {
    for (size_t i = 1; i < split->item_count; i++) {
        size_t item = split->order[i], at = i;
        for (; at > 0 && larger(&split->items[split->order[at - 1]], &split->items[item]) > 0; at--)
            split->order[at] = split->order[at - 1];
        split->order[at] = item;
    }
    for (size_t i = 0; i < split->wrap_count; i++) {
        size_t at = i;
        for (; at > 0 && split->wraps[split->by_price[at - 1]].price > split->wraps[i].price; at--)
            split->by_price[at] = split->by_price[at - 1];
        split->by_price[at] = i;
    }
}

/* The group with the item in it besides; false when no wrap takes them together. */
static bool joined(const struct split *split, const struct group *group, size_t item, struct group *with) {
    *with = (struct group){.wraps = group->wraps & split->fits[item],
                           .area = group->area + packing_area(&split->items[item]),
                           .mass = group->mass + split->items[item].mass};
    for (size_t i = 0; i < split->wrap_count; i++) {
        const struct packing_wrap *wrap = &split->wraps[split->by_price[i]];
        if ((with->wraps >> split->by_price[i] & 1) == 0 || with->area > packing_room(wrap) ||
            with->mass > wrap->heaviest - wrap->mass)
            continue;
        with->wrap = split->by_price[i];
        with->price = wrap->price;
        return true;
    }
    return false;
}

static const struct group nothing = {.wraps = UINT64_MAX};

/* Each thing goes where it adds least to the price; a new parcel is the last resort. */
static void first_answer(struct split *split) {
    for (size_t i = 0; i < split->item_count; i++) {
        size_t item = split->order[i], best = split->group_count;
        struct group with, chosen;
        joined(split, &nothing, item, &chosen);
        int64_t least = chosen.price;
        for (size_t g = 0; g < split->group_count; g++)
            if (joined(split, &split->groups[g], item, &with) &&
                with.price - split->groups[g].price <= least - (best == split->group_count ? 0 : 1)) {
                least = with.price - split->groups[g].price;
                best = g;
                chosen = with;
            }
        split->price += least;
        split->groups[best] = chosen;
        split->now[item] = best;
        split->group_count += best == split->group_count;
    }
}

static void keep(struct split *split) {
    split->best_price = split->price;
    split->best_count = split->group_count;
    memcpy(split->best, split->now, split->item_count * sizeof *split->best);
}

static bool hopeless(const struct split *split) {
    return split->price > split->best_price ||
           (split->price == split->best_price && split->group_count >= split->best_count);
}

static bool alike(const struct packing_item *one, const struct packing_item *other) {
    return one->length == other->length && one->width == other->width && one->height == other->height &&
           one->mass == other->mass;
}

static void search(struct split *split, size_t at);

static void try_group(struct split *split, size_t at, size_t g, const struct group *with) {
    struct group before = split->groups[g];
    bool is_new = g == split->group_count;
    int64_t price = split->price;
    split->price += with->price - (is_new ? 0 : before.price);
    split->group_count += is_new;
    split->groups[g] = *with;
    split->now[split->order[at]] = g;
    search(split, at + 1);
    split->groups[g] = before;
    split->group_count -= is_new;
    split->price = price;
}

/* Price and number of parcels only grow on the way down, so what is no better than the best leads nowhere. */
static void search(struct split *split, size_t at) {
    if (split->steps <= 0 || hopeless(split))
        return;
    split->steps--;
    if (at == split->item_count) {
        keep(split);
        return;
    }
    size_t item = split->order[at], first = 0;
    if (at > 0 && alike(&split->items[item], &split->items[split->order[at - 1]]))
        first = split->now[split->order[at - 1]]; /* which of two alike comes first does not matter */
    struct group with;
    for (size_t g = first; g < split->group_count; g++)
        if (joined(split, &split->groups[g], item, &with))
            try_group(split, at, g, &with);
    if (joined(split, &nothing, item, &with))
        try_group(split, at, split->group_count, &with);
}

/* True when everything was looked at. */
static bool improve(struct split *split) {
    if (split->item_count > SEARCH_ITEMS)
        return split->best_count == 1 && split->wraps[split->by_price[0]].price == split->best_price;
    split->steps = SEARCH_STEPS;
    split->price = 0;
    split->group_count = 0;
    search(split, 0);
    return split->steps > 0;
}

static bool answer(const struct split *split, bool proven, struct packing *packing, struct fault *fault) {
    struct packing_parcel *parcels = calloc(split->best_count, sizeof *parcels);
    struct group *groups = calloc(split->best_count, sizeof *groups);
    if (parcels == NULL || groups == NULL) {
        free(parcels);
        free(groups);
        return fault_memory(fault);
    }
    for (size_t g = 0; g < split->best_count; g++)
        groups[g] = nothing;
    for (size_t i = 0; i < split->item_count; i++) {
        struct packing_parcel *parcel = &parcels[split->best[i]];
        struct group with;
        joined(split, &groups[split->best[i]], i, &with);
        groups[split->best[i]] = with;
        parcel->wrap = with.wrap;
        parcel->mass = with.mass + split->wraps[with.wrap].mass;
        parcel->count++;
        if (split->items[i].length > parcel->longest)
            parcel->longest = split->items[i].length;
    }
    free(groups);
    *packing = (struct packing){.count = split->best_count,
                                .parcels = parcels,
                                .parcel_of = split->best,
                                .price = split->best_price,
                                .proven = proven};
    return true;
}

static bool make(struct split *split, struct packing *packing, struct fault *fault) {
    if (split->order == NULL || split->fits == NULL || split->groups == NULL || split->now == NULL ||
        split->best == NULL)
        return fault_memory(fault);
    if (!read_items(split, fault))
        return false;
    sort_items(split);
    first_answer(split);
    keep(split);
    bool proven = improve(split);
    return answer(split, proven, packing, fault);
}

bool packing_split(const struct packing_item *items, size_t item_count, const struct packing_wrap *wraps,
                   size_t wrap_count, struct packing *packing, struct fault *fault) {
    if (item_count < 1 || item_count > PACKING_ITEMS)
        return fault_set(fault, "out-of-range", "items", "An order packs 1 to %d things.", PACKING_ITEMS);
    if (wrap_count < 1 || wrap_count > PACKING_WRAPS)
        return fault_set(fault, "out-of-range", "wraps", "There are 1 to %d tubes and boxes to choose from.",
                         PACKING_WRAPS);
    struct split split = {.items = items,
                          .wraps = wraps,
                          .item_count = item_count,
                          .wrap_count = wrap_count,
                          .order = calloc(item_count, sizeof *split.order),
                          .fits = calloc(item_count, sizeof *split.fits),
                          .groups = calloc(item_count, sizeof *split.groups),
                          .now = calloc(item_count, sizeof *split.now),
                          .best = calloc(item_count, sizeof *split.best)};
    bool good = make(&split, packing, fault);
    free(split.order);
    free(split.fits);
    free(split.groups);
    free(split.now);
    if (!good)
        free(split.best);
    return good;
}

void packing_free(struct packing *packing) {
    free(packing->parcels);
    free(packing->parcel_of);
    *packing = (struct packing){0};
}
