/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/bound_check.h"

#include "cutting/check/prices.h"

#include <stdlib.h>
#include <string.h>

/* Every plan's cost is a multiple of this. */
static int64_t cost_step(const struct facts *facts) {
    int64_t step = 0;
    if (facts->returns_any && facts->percent > 0 && facts->places != 0)
        return 1;
    for (size_t i = 0; i < facts->bar_count; i++) {
        int64_t other = prices_usable(facts, &facts->bars[i]) ? facts->bars[i].value : 0;
        while (other != 0) {
            int64_t rest = step % other;
            step = other;
            other = rest;
        }
    }
    return step > 0 ? step : 1;
}

/* The most of each length that any choice of joins could want, and what all pieces are priced at least. */
static __int128 count_demand(const struct facts *facts, struct certificate *certificate) {
    __int128 sum = 0;
    for (size_t i = 0; i < facts->piece_count; i++) {
        bool joined = false;
        for (size_t g = 0; g < facts->join_count; g++)
            for (size_t n = 0; n < facts->joins[g].count; n++)
                joined = joined || facts->joins[g].pieces[n] == i;
        struct priced_length *found =
            joined ? NULL : prices_find(facts, certificate, facts->pieces[i].length);
        if (found != NULL) {
            found->demand += facts->pieces[i].cut;
            sum += (__int128)found->price * facts->pieces[i].cut;
        }
    }
    for (size_t g = 0; g < facts->join_count; g++) {
        const struct fact_join *join = &facts->joins[g];
        __int128 least = 0;
        for (size_t a = 0; a < join->alternatives; a++) {
            __int128 worth = 0;
            for (size_t n = 0; n < join->count; n++) {
                struct priced_length *found = prices_find(facts, certificate, join->lengths[a][n]);
                if (found != NULL) {
                    found->demand++;
                    worth += found->price;
                }
            }
            least = a == 0 || worth < least ? worth : least;
        }
        sum += least;
    }
    return sum;
}

/* The waste that a plan cheaper than the bound could have; the certificate must allow it. */
static bool waste_allowed(const struct facts *facts, const struct certificate *certificate, int64_t bound,
                          struct fault *fault) {
    const struct fact_bar *first = NULL;
    if (certificate->waste < 0)
        return true;
    if (facts->join_count > 0)
        return prices_wrong(fault, "A waste limit and joins do not go together.");
    for (size_t i = 0; i < facts->bar_count; i++) {
        const struct fact_bar *bar = &facts->bars[i];
        if (!prices_usable(facts, bar))
            continue;
        if (first != NULL && (prices_room(facts, bar).capacity != prices_room(facts, first).capacity ||
                              bar->value != first->value))
            return prices_wrong(fault, "A waste limit needs bars of one kind.");
        first = bar;
    }
    if (first == NULL || first->value <= 0 ||
        (facts->returns_any && facts->percent > 0 && facts->places != 0))
        return prices_wrong(fault, "A waste limit needs one kind of bar and remainders of no worth.");
    __int128 left = (__int128)((bound - 1) / first->value) * prices_room(facts, first).capacity;
    for (size_t i = 0; i < facts->piece_count; i++)
        left -= (__int128)facts->pieces[i].cut * (facts->pieces[i].length + facts->kerf);
    return left <= certificate->waste ||
           prices_wrong(fault, "A cheaper plan could waste more than the limit.");
}

static bool add_up(const struct facts *facts, const struct certificate *certificate, const int64_t *best,
                   __int128 sum, int64_t bound, struct fault *fault) {
    if (certificate->place > 0 && facts->places < 0)
        return prices_wrong(fault, "A place has a price, but places are not limited.");
    sum -= (__int128)certificate->place * (facts->places > 0 ? facts->places : 0);
    for (size_t i = 0; i < facts->bar_count; i++) {
        const struct fact_bar *bar = &facts->bars[i];
        if (!prices_usable(facts, bar))
            continue;
        __int128 over = prices_excess(facts, certificate, best, bar);
        if (over > 0 && bar->quantity < 0)
            return prices_wrong(fault, "A bar of unlimited quantity is worth more than it costs.");
        sum -= over * (bar->quantity > 0 ? bar->quantity : 0);
    }
    __int128 below = (__int128)certificate->scale * (bound - cost_step(facts));
    return below < sum || prices_wrong(fault, "The prices prove a lower bound than the plan claims.");
}

bool certificate_check(const struct facts *facts, const json_t *json, int64_t bound, struct fault *fault) {
    struct form form;
    form_open(&form, json, "certificate", fault);
    struct certificate certificate = {.scale = form_integer(&form, "scale", 1, (int64_t)1 << 52),
                                      .place = form_integer(&form, "place", 0, (int64_t)1 << 60),
                                      .waste = form_length_or(&form, "waste", 0, ELL_LENGTH_MAX, -1)};
    const json_t *list = form_array(&form, "prices", 0, 1000000);
    if (!form_close(&form))
        return false;
    int64_t capacity = prices_widest(facts);
    if (capacity > PRICED_CELLS_MOST)
        return prices_wrong(fault, "The bars are too long for the check.");
    int64_t *best = NULL;
    bool fine = prices_read(facts, list, &certificate, fault);
    if (fine) {
        __int128 priced = count_demand(facts, &certificate);
        best = prices_knapsack(&certificate, capacity);
        fine = best != NULL ? waste_allowed(facts, &certificate, bound, fault) &&
                                  add_up(facts, &certificate, best, priced, bound, fault)
                            : fault_memory(fault);
    }
    free(best);
    free(certificate.lengths);
    return fine;
}

struct material {
    long double rate; /* least net cost of one tenth of width */
    long double width;
};

static int by_rate(const void *left, const void *right) {
    const struct material *a = left, *b = right;
    return a->rate < b->rate ? -1 : a->rate > b->rate;
}

static long double least_rate(const struct facts *facts, const struct fact_bar *bar, int64_t narrowest) {
    struct room room = prices_room(facts, bar);
    long double least = (long double)bar->value / (long double)room.capacity;
    for (int64_t x = narrowest; x <= room.capacity; x++) {
        int64_t remainder = room.rest > x ? room.rest - x : 0;
        long double rate = (long double)(bar->value - facts_worth(facts, remainder)) / (long double)x;
        if (rate < least)
            least = rate;
    }
    return least;
}

bool material_check(const struct facts *facts, int64_t bound, struct fault *fault) {
    if (prices_widest(facts) > PRICED_CELLS_MOST)
        return true;
    long double width = 0, pieces = 0, sum = 0;
    int64_t narrowest = INT64_MAX;
    size_t count = 0;
    for (size_t i = 0; i < facts->piece_count; i++) {
        const struct fact_piece *piece = &facts->pieces[i];
        width += (long double)piece->cut * (long double)(piece->length + facts->kerf);
        pieces += (long double)piece->cut;
        if (piece->cut > 0 && piece->length + facts->kerf < narrowest)
            narrowest = piece->length + facts->kerf;
    }
    struct material *bars = calloc(facts->bar_count + 1, sizeof *bars);
    if (bars == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < facts->bar_count; i++) {
        const struct fact_bar *bar = &facts->bars[i];
        if (!prices_usable(facts, bar))
            continue;
        long double number = bar->quantity < 0 ? pieces : (long double)bar->quantity;
        bars[count++] = (struct material){least_rate(facts, bar, narrowest),
                                          number * (long double)prices_room(facts, bar).capacity};
    }
    qsort(bars, count, sizeof *bars, by_rate);
    for (size_t i = 0; i < count && width > 0; i++) {
        long double used = bars[i].width < width ? bars[i].width : width;
        sum += used * bars[i].rate;
        width -= used;
    }
    free(bars);
    /* Rounded up to the next possible cost; the sum is good to far less than a thousandth. */
    if ((long double)(bound - cost_step(facts)) < sum + 1e-3L)
        return true;
    return fault_set(fault, "bad-plan", "bound", "The material gives a lower bound than the plan claims.");
}
