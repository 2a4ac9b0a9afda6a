/* Parcels against every way there is of sharing out a few things, and what the answer must hold.
 * SPDX-License-Identifier: Apache-2.0 */
#include "packing/packing.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 8 };

static const struct packing_wrap tube = {.code = "TUBE",
                                         .carrier = "POST",
                                         .round = true,
                                         .length = 20000,
                                         .width = 800,
                                         .height = 800,
                                         .wall = 30,
                                         .mass = 900,
                                         .heaviest = 20000,
                                         .price = 900};
static const struct packing_wrap box = {.code = "BOX",
                                        .carrier = "POST",
                                        .length = 3000,
                                        .width = 2000,
                                        .height = 1000,
                                        .wall = 40,
                                        .mass = 300,
                                        .heaviest = 20000,
                                        .price = 400};

static struct packing split(const struct packing_item *items, size_t count, const struct packing_wrap *wraps,
                            size_t wrap_count) {
    struct packing packing;
    struct fault fault;
    cr_assert(packing_split(items, count, wraps, wrap_count, &packing, &fault), "%s", fault.message);
    return packing;
}

static void refused(const struct packing_item *items, size_t count, const struct packing_wrap *wraps,
                    size_t wrap_count, const char *code, const char *where) {
    struct packing packing = {.count = 77};
    struct fault fault;
    cr_assert_not(packing_split(items, count, wraps, wrap_count, &packing, &fault));
    cr_expect_str_eq(fault.code, code);
    cr_expect_str_eq(fault.where, where);
    cr_expect_eq(packing.count, 77);
}

/* ---- measured again, with nothing of the room's own */

static bool takes(const struct packing_wrap *wrap, const struct packing_item *items, const size_t *group_of,
                  size_t count, size_t group) {
    double area = 0, room = wrap->round ? acos(-1) / 4 * (double)(wrap->width * wrap->width)
                                        : (double)(wrap->width * wrap->height);
    int64_t mass = wrap->mass;
    for (size_t i = 0; i < count; i++) {
        const struct packing_item *item = &items[i];
        if (group_of[i] != group)
            continue;
        double diagonal = hypot((double)item->width, (double)item->height);
        bool upright = item->width <= wrap->width && item->height <= wrap->height;
        bool lying = item->width <= wrap->height && item->height <= wrap->width;
        if (item->length > wrap->length ||
            (wrap->round ? diagonal > (double)wrap->width : !upright && !lying))
            return false;
        area += (double)(item->width * item->height);
        mass += item->mass;
    }
    return area <= floor(room * 0.8) && mass <= wrap->heaviest;
}

/* The cheapest wrap for a group, -1 for none. */
static int64_t price_of(const struct packing_wrap *wraps, size_t wrap_count, const struct packing_item *items,
                        const size_t *group_of, size_t count, size_t group) {
    int64_t best = -1;
    for (size_t w = 0; w < wrap_count; w++)
        if (takes(&wraps[w], items, group_of, count, group) && (best < 0 || wraps[w].price < best))
            best = wraps[w].price;
    return best;
}

struct least {
    int64_t price;
    size_t parcels;
};

/* Every way of sharing `count` things out, one after the other: the first always in group 0, the next in 0 or 1, ... */
static void share_out(const struct packing_wrap *wraps, size_t wrap_count, const struct packing_item *items,
                      size_t count, size_t at, size_t groups, size_t *group_of, struct least *least) {
    if (at < count) {
        for (size_t g = 0; g <= groups; g++) {
            group_of[at] = g;
            share_out(wraps, wrap_count, items, count, at + 1, g == groups ? groups + 1 : groups, group_of,
                      least);
        }
        return;
    }
    struct least all = {0, groups};
    for (size_t g = 0; g < groups; g++) {
        int64_t price = price_of(wraps, wrap_count, items, group_of, count, g);
        if (price < 0)
            return;
        all.price += price;
    }
    if (least->price < 0 || all.price < least->price ||
        (all.price == least->price && all.parcels < least->parcels))
        *least = all;
}

static int64_t between(int64_t least, int64_t most) {
    return least + rand() % (most - least + 1);
}

static struct packing_wrap any_wrap(void) {
    struct packing_wrap wrap = {.round = rand() % 2,
                                .length = between(1000, 30000),
                                .wall = between(0, 50),
                                .mass = between(100, 1000),
                                .heaviest = between(3000, 20000),
                                .price = between(3, 9) * 100};
    wrap.width = between(500, 1500);
    wrap.height = wrap.round ? wrap.width : between(500, 1500);
    return wrap;
}

static struct packing_item any_item(void) {
    return (struct packing_item){between(500, 20000), between(100, 600), between(100, 600), between(0, 5000)};
}

/* What a person can see of an answer: each parcel as it says, and everything in one. */
static void check(const struct packing *packing, const struct packing_item *items, size_t count,
                  const struct packing_wrap *wraps) {
    int64_t price = 0;
    size_t things = 0;
    for (size_t p = 0; p < packing->count; p++) {
        const struct packing_parcel *parcel = &packing->parcels[p];
        int64_t mass = wraps[parcel->wrap].mass, longest = 0;
        size_t inside = 0;
        for (size_t i = 0; i < count; i++)
            if (packing->parcel_of[i] == p) {
                inside++;
                mass += items[i].mass;
                longest = items[i].length > longest ? items[i].length : longest;
            }
        cr_expect(takes(&wraps[parcel->wrap], items, packing->parcel_of, count, p));
        cr_expect(inside > 0 && inside == parcel->count && mass == parcel->mass &&
                  longest == parcel->longest);
        price += wraps[parcel->wrap].price;
        things += inside;
    }
    cr_expect_eq(things, count);
    cr_expect_eq(price, packing->price);
}

Test(split, as_cheap_as_the_best_of_all_ways) {
    int solved = 0;
    for (unsigned seed = 1; seed <= 1500; seed++) {
        struct packing_item items[MOST];
        struct packing_wrap wraps[3];
        size_t group_of[MOST], count, wrap_count;
        struct packing packing;
        struct fault fault;
        srand(seed);
        count = (size_t)between(1, seed % 10 == 0 ? MOST : 6);
        wrap_count = (size_t)between(1, 3);
        for (size_t i = 0; i < count; i++)
            items[i] = i > 0 && rand() % 3 == 0 ? items[i - 1] : any_item();
        for (size_t w = 0; w < wrap_count; w++)
            wraps[w] = any_wrap();
        struct least least = {-1, 0};
        share_out(wraps, wrap_count, items, count, 0, 0, group_of, &least);
        bool good = packing_split(items, count, wraps, wrap_count, &packing, &fault);
        cr_assert_eq(good, least.price >= 0, "seed %u", seed);
        if (!good)
            continue;
        solved++;
        cr_expect(packing.proven, "seed %u", seed);
        cr_expect_eq(packing.price, least.price, "seed %u", seed);
        cr_expect_eq(packing.count, least.parcels, "seed %u", seed);
        check(&packing, items, count, wraps);
        packing_free(&packing);
    }
    cr_expect_gt(solved, 400);
}

Test(split, large_orders_hold_and_are_the_same_each_time) {
    static struct packing_item items[PACKING_ITEMS];
    const struct packing_wrap wraps[] = {tube, box};
    srand(11);
    for (size_t i = 0; i < PACKING_ITEMS; i++)
        items[i] =
            (struct packing_item){between(200, 20000), between(50, 300), between(50, 300), between(10, 3000)};
    for (size_t count = 10; count <= PACKING_ITEMS; count = count * 5 + 3) {
        struct packing one = split(items, count, wraps, 2), other = split(items, count, wraps, 2);
        check(&one, items, count, wraps);
        cr_expect_eq(one.count, other.count);
        cr_expect_arr_eq(one.parcel_of, other.parcel_of, count * sizeof *one.parcel_of);
        packing_free(&one);
        packing_free(&other);
    }
}

Test(split, long_tracks_go_into_a_tube_and_the_kit_with_them) {
    const struct packing_wrap wraps[] = {tube, box};
    const struct packing_item items[] = {
        {18000, 300, 250, 1400}, {17500, 300, 250, 1300}, {2500, 300, 300, 800}};
    struct packing packing = split(items, 3, wraps, 2);
    cr_expect_eq(packing.count, 1);
    cr_expect_eq(packing.parcels[0].wrap, 0);
    cr_expect_eq(packing.parcels[0].mass, 900 + 1400 + 1300 + 800);
    cr_expect_eq(packing.parcels[0].longest, 18000);
    packing_free(&packing);
}

Test(split, a_tube_takes_what_fills_its_share_and_no_more) {
    struct packing_wrap wide = tube;
    wide.heaviest = INT64_MAX;
    /* pi/4 x 800^2 x 0.8 = 402123: eight things of 50000, not nine */
    struct packing_item items[9];
    for (size_t i = 0; i < 9; i++)
        items[i] = (struct packing_item){10000, 250, 200, 1};
    struct packing eight = split(items, 8, &wide, 1), nine = split(items, 9, &wide, 1);
    cr_expect_eq(eight.count, 1);
    cr_expect_eq(nine.count, 2);
    packing_free(&eight);
    packing_free(&nine);
}

Test(split, weight_to_the_gram) {
    struct packing_item items[] = {{1000, 100, 100, 10000}, {1000, 100, 100, 9100}};
    struct packing packing = split(items, 2, &tube, 1);
    cr_expect_eq(packing.count, 1, "20 000 g with the tube is allowed");
    packing_free(&packing);
    items[1].mass++;
    packing = split(items, 2, &tube, 1);
    cr_expect_eq(packing.count, 2);
    packing_free(&packing);
}

Test(split, what_fits_nowhere_is_named) {
    const struct packing_item items[] = {{1000, 100, 100, 1}, {20001, 100, 100, 1}};
    refused(items, 2, &tube, 1, "fits-no-parcel", "items[1]");
    const struct packing_item wide = {1000, 700, 400, 1}; /* its diagonal is 806 */
    refused(&wide, 1, &tube, 1, "fits-no-parcel", "items[0]");
    const struct packing_item nothing = {1000, 0, 100, 1};
    refused(&nothing, 1, &tube, 1, "out-of-range", "items[0].width");
    refused(items, 0, &tube, 1, "out-of-range", "items");
    refused(items, 1, &tube, 0, "out-of-range", "wraps");
}

Test(limits, outside_girth_and_weight) {
    struct packing_limits limits = {0};
    /* A tube of 80 mm with walls of 3 mm: 86 mm x pi = 270.18 mm; a box of 200 x 100 with 4 mm: 2 x (208 + 108) = 632 mm. */
    cr_expect_eq(packing_outside(&tube), 20060);
    cr_expect_eq(packing_girth(&tube), 2702);
    cr_expect_eq(packing_girth(&box), 6320);
    cr_expect(packing_allowed(&tube, &limits));
    limits.longest = 20060;
    limits.around = 20060 + 2702;
    cr_expect(packing_allowed(&tube, &limits));
    limits.around--;
    cr_expect_not(packing_allowed(&tube, &limits));
    limits.around = 0;
    limits.longest--;
    cr_expect_not(packing_allowed(&tube, &limits));
    limits = (struct packing_limits){.heaviest = 900};
    cr_expect_not(packing_allowed(&tube, &limits), "the tube alone weighs that");
}
