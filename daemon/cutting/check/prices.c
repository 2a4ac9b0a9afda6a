/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/prices.h"

#include <stdlib.h>
#include <string.h>

bool prices_wrong(struct fault *fault, const char *message) {
    return fault_set(fault, "bad-certificate", "certificate", "%s", message);
}

struct room prices_room(const struct facts *facts, const struct fact_bar *bar) {
    int64_t rest = bar->length - (bar->squared ? 0 : facts->trim);
    return (struct room){facts->clamp > 0 ? rest - facts->clamp : rest + facts->kerf, rest};
}

bool prices_usable(const struct facts *facts, const struct fact_bar *bar) {
    return bar->length <= facts->longest_bar && bar->quantity != 0 &&
           prices_room(facts, bar).capacity > facts->kerf;
}

int64_t prices_widest(const struct facts *facts) {
    int64_t most = 0;
    for (size_t i = 0; i < facts->bar_count; i++)
        if (prices_usable(facts, &facts->bars[i]) && prices_room(facts, &facts->bars[i]).capacity > most)
            most = prices_room(facts, &facts->bars[i]).capacity;
    return most;
}

bool prices_read(const struct facts *facts, const json_t *list, struct certificate *certificate,
                 struct fault *fault) {
    certificate->count = json_array_size(list);
    certificate->lengths = calloc(certificate->count + 1, sizeof *certificate->lengths);
    if (certificate->lengths == NULL)
        return fault_memory(fault);
    int64_t last = INT64_MAX;
    for (size_t i = 0; i < certificate->count; i++) {
        const json_t *pair = json_array_get(list, i);
        ell_length length;
        json_int_t price = json_integer_value(json_array_get(pair, 1));
        if (json_array_size(pair) != 2 || !json_is_integer(json_array_get(pair, 1)) || price < 0 ||
            price > (json_int_t)1 << 52 || !json_is_number(json_array_get(pair, 0)) ||
            !ell_length_from_mm(json_number_value(json_array_get(pair, 0)), &length) || length >= last)
            return prices_wrong(
                fault, "Prices are pairs of a length, longest first and each once, and a whole number.");
        certificate->lengths[i] = (struct priced_length){length + facts->kerf, 0, price};
        last = length;
    }
    return true;
}

static int by_width(const void *key, const void *item) {
    const struct priced_length *left = key, *right = item;
    return left->width > right->width ? -1 : left->width < right->width;
}

struct priced_length *prices_find(const struct facts *facts, const struct certificate *certificate,
                                  int64_t length) {
    struct priced_length key = {.width = length + facts->kerf};
    return bsearch(&key, certificate->lengths, certificate->count, sizeof key, by_width);
}

static void place_bundle(int64_t *best, int64_t capacity, int64_t width, int64_t price) {
    for (int64_t x = capacity; x >= width; x--)
        if (best[x - width] >= 0 && best[x - width] + price > best[x])
            best[x] = best[x - width] + price;
}

/* best[x]: the most that pieces of total width exactly x can be priced; -1: no pieces have that width. */
int64_t *prices_knapsack(const struct certificate *certificate, int64_t capacity) {
    int64_t *best = malloc((size_t)(capacity + 1) * sizeof *best);
    if (best == NULL)
        return NULL;
    memset(best, 0xFF, (size_t)(capacity + 1) * sizeof *best);
    best[0] = 0;
    for (size_t i = 0; i < certificate->count; i++) {
        const struct priced_length *length = &certificate->lengths[i];
        int64_t left = capacity / length->width;
        if (length->demand < left)
            left = length->demand;
        for (int64_t bundle = 1; left > 0; bundle *= 2) {
            int64_t taken = bundle < left ? bundle : left;
            place_bundle(best, capacity, length->width * taken, length->price * taken);
            left -= taken;
        }
    }
    return best;
}

/* The most that one such bar is worth beyond scale * value; 0 when it never is. */
__int128 prices_excess(const struct facts *facts, const struct certificate *certificate, const int64_t *best,
                       const struct fact_bar *bar) {
    struct room room = prices_room(facts, bar);
    __int128 most = 0, cost = (__int128)certificate->scale * bar->value;
    for (int64_t x = 1; x <= room.capacity; x++) {
        if (best[x] < 0)
            continue;
        int64_t remainder = room.rest > x ? room.rest - x : 0;
        __int128 value = best[x];
        bool counts = certificate->waste < 0 || room.capacity - x <= certificate->waste;
        if (counts && value - cost > most)
            most = value - cost;
        if (!facts->returns_any || facts->places == 0 || remainder < facts->usable)
            continue;
        value += (__int128)certificate->scale * facts_worth(facts, remainder) - certificate->place;
        if (value - cost > most)
            most = value - cost;
    }
    return most;
}
