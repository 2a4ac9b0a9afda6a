/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/shortage_check.h"

#include "cutting/check/prices.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PRICED_MOST = 1000000 };

/* In order: priority, due date, longer piece, line. */
static bool more_urgent(const struct facts *facts, const struct fact_piece *one,
                        const struct fact_piece *other) {
    if (one->priority != other->priority)
        return one->priority > other->priority;
    if (strcmp(one->due, other->due) != 0)
        return other->due[0] == '\0' || (one->due[0] != '\0' && strcmp(one->due, other->due) < 0);
    if (one->length != other->length)
        return one->length > other->length;
    return one - facts->pieces < other - facts->pieces;
}

/* How many of `piece` the proof is about: all that is cut where it is more urgent, one more of the one left out. */
static int64_t asked_of(const struct facts *facts, const struct fact_piece *piece,
                        const struct fact_piece *left) {
    return piece == left ? piece->cut + 1 : more_urgent(facts, piece, left) ? piece->cut : 0;
}

/* A bar too short for every piece gives no room at all, and of the others no more are opened than there are pieces. */
static bool too_much_material(const struct facts *facts, const struct fact_piece *left) {
    __int128 wanted = 0, room = 0, pieces = 0;
    int64_t shortest = INT64_MAX;
    for (size_t i = 0; i < facts->piece_count; i++) {
        int64_t asked = asked_of(facts, &facts->pieces[i], left),
                takes = facts->pieces[i].length + facts->kerf;
        wanted += (__int128)asked * takes;
        pieces += asked;
        shortest = asked > 0 && takes < shortest ? takes : shortest;
    }
    for (size_t i = 0; i < facts->bar_count; i++) {
        const struct fact_bar *bar = &facts->bars[i];
        if (!prices_usable(facts, bar) || prices_room(facts, bar).capacity < shortest)
            continue;
        room += prices_room(facts, bar).capacity * (bar->quantity < 0 ? pieces : bar->quantity);
    }
    return wanted > room;
}

/* Whether the pieces are priced higher than all bars together can be worth. */
static bool outweigh(const struct facts *facts, const struct fact_piece *left,
                     struct certificate *certificate, struct fault *fault) {
    __int128 sum = 0;
    for (size_t i = 0; i < facts->piece_count; i++) {
        struct priced_length *found = prices_find(facts, certificate, facts->pieces[i].length);
        int64_t asked = asked_of(facts, &facts->pieces[i], left);
        if (found == NULL)
            continue;
        found->demand += asked;
        sum += (__int128)found->price * asked;
    }
    int64_t capacity = prices_widest(facts);
    int64_t *best = prices_knapsack(certificate, capacity);
    if (best == NULL)
        return fault_memory(fault);
    bool fine = true;
    for (size_t i = 0; fine && i < facts->bar_count; i++) {
        const struct fact_bar *bar = &facts->bars[i];
        if (!prices_usable(facts, bar))
            continue;
        int64_t worth = 0, room = prices_room(facts, bar).capacity;
        for (int64_t x = 1; x <= room; x++)
            worth = best[x] > worth ? best[x] : worth;
        fine = bar->quantity >= 0 || worth == 0;
        sum -= bar->quantity >= 0 ? (__int128)worth * bar->quantity : 0;
    }
    free(best);
    return (fine && sum > 0) ||
           prices_wrong(fault, "The prices do not show that a piece left out does not fit.");
}

static bool check_prices(const struct facts *facts, const json_t *prices, const struct fact_piece *left,
                         struct fault *fault) {
    struct certificate certificate = {.scale = 0};
    if (prices_widest(facts) > PRICED_CELLS_MOST)
        return prices_wrong(fault, "The bars are too long for the check.");
    bool fine = prices_read(facts, prices, &certificate, fault) && outweigh(facts, left, &certificate, fault);
    free(certificate.lengths);
    return fine;
}

struct entry {
    const struct fact_piece *piece, *from; /* from: NULL, or the piece from which it follows */
    int why, proof;
    const json_t *prices;
};

enum { NO_STOCK = 2, NONE = 0, MATERIAL, PRICES, SEARCH };

static bool read_entry(const json_t *list, size_t at, const struct facts *facts, struct entry *entry,
                       struct fault *fault) {
    static const char *const whys[] = {"too-long", "too-short", "no-stock", NULL};
    static const char *const proofs[] = {"none", "material", "prices", "search", NULL};
    char path[64], name[64];
    struct form form;
    snprintf(path, sizeof path, "unmet[%zu]", at);
    form_open(&form, json_array_get(list, at), path, fault);
    form_text(&form, "piece", name, sizeof name);
    entry->piece = facts_piece(facts, name);
    form_integer(&form, "quantity", 1, INT64_MAX);
    entry->why = form_choice(&form, "why", whys);
    entry->proof = form_choice_or(&form, "proof", proofs, NONE);
    form_text_or(&form, "from", name, sizeof name, "");
    entry->from = name[0] != '\0' ? facts_piece(facts, name) : NULL;
    if (name[0] != '\0' && entry->from == NULL)
        form_wrong(&form, "from", "bad-plan", "There is no such piece.");
    entry->prices = form_array(&form, "prices", 0, PRICED_MOST);
    if (entry->proof == PRICES && json_array_size(entry->prices) == 0)
        form_wrong(&form, "prices", "bad-plan", "They are missing.");
    return form_close(&form);
}

static bool check_own(const struct facts *facts, const struct entry *entry, struct fault *fault) {
    if (entry->proof == MATERIAL && !too_much_material(facts, entry->piece))
        return fault_set(fault, "bad-plan", entry->piece->name,
                         "The material does not show that it does not fit.");
    return entry->proof != PRICES || check_prices(facts, entry->prices, entry->piece, fault);
}

bool shortage_check(struct facts *facts, const json_t *unmet, bool *all, struct fault *fault) {
    *all = true;
    for (size_t i = 0; i < json_array_size(unmet); i++) {
        struct entry entry;
        if (!read_entry(unmet, i, facts, &entry, fault) || !check_own(facts, &entry, fault))
            return false;
        bool proven = entry.why == NO_STOCK && entry.from == NULL && entry.proof != NONE;
        if (proven && facts->join_count > 0)
            return fault_set(fault, "bad-plan", entry.piece->name,
                             "Joins chosen otherwise might leave out others.");
        facts->pieces[entry.piece - facts->pieces].explained = proven;
    }
    for (size_t i = 0; i < json_array_size(unmet); i++) {
        struct entry entry;
        if (!read_entry(unmet, i, facts, &entry, fault))
            return false;
        const struct fact_piece *piece = entry.piece, *from = entry.from;
        if (from != NULL &&
            !(from->explained && more_urgent(facts, from, piece) && from->length <= piece->length))
            return fault_set(fault, "bad-plan", piece->name, "It does not follow from \"%s\".", from->name);
        *all = *all && (entry.why != NO_STOCK || piece->explained || from != NULL);
    }
    return true;
}
