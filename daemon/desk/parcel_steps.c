/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/parcel_steps.h"

#include "desk/labels.h"
#include "desk/parcel_load.h"
#include "desk/statement.h"

#include <stdlib.h>
#include <string.h>

/* What one carrier makes of a load. */
struct offer {
    const struct carrier *carrier;
    struct packing_wrap wraps[PACKING_WRAPS];
    const struct wrap *named[PACKING_WRAPS];
    size_t wrap_count, taken;
    size_t *thing_of; /* owned: which thing each packed item is */
    struct packing packing;
};

static void list_wraps(const struct carrier *carrier, struct offer *offer) {
    struct packing_limits limits = {carrier->longest, carrier->around, carrier->heaviest};
    for (size_t i = 0; i < carrier->wrap_count && offer->wrap_count < PACKING_WRAPS; i++) {
        const struct wrap *wrap = &carrier->wraps[i];
        struct packing_wrap *to = &offer->wraps[offer->wrap_count];
        *to = (struct packing_wrap){.round = wrap->round,
                                    .length = wrap->length,
                                    .width = wrap->width,
                                    .height = wrap->height,
                                    .wall = wrap->wall,
                                    .mass = wrap->mass,
                                    .heaviest = carrier->heaviest > 0 ? carrier->heaviest : INT64_MAX,
                                    .price = wrap->price};
        memcpy(to->code, wrap->code, sizeof to->code);
        memcpy(to->carrier, carrier->code, sizeof to->carrier);
        if (packing_allowed(to, &limits))
            offer->named[offer->wrap_count++] = wrap;
    }
}

static bool takes(const struct offer *offer, const struct packing_item *item) {
    struct packing alone;
    struct fault fault;
    if (!packing_split(item, 1, offer->wraps, offer->wrap_count, &alone, &fault))
        return false;
    packing_free(&alone);
    return true;
}

static bool make_offer(const struct load *load, const struct carrier *carrier, struct offer *offer,
                       struct fault *fault) {
    *offer = (struct offer){.carrier = carrier, .thing_of = calloc(load->count + 1, sizeof *offer->thing_of)};
    struct packing_item *items = calloc(load->count + 1, sizeof *items);
    bool good = offer->thing_of != NULL && items != NULL;
    if (!good)
        fault_memory(fault);
    if (good)
        list_wraps(carrier, offer);
    for (size_t i = 0; good && offer->wrap_count > 0 && i < load->count; i++)
        if (!load->loose[i] && takes(offer, &load->items[i])) {
            offer->thing_of[offer->taken] = i;
            items[offer->taken++] = load->items[i];
        }
    good = good && (offer->taken == 0 || packing_split(items, offer->taken, offer->wraps, offer->wrap_count,
                                                       &offer->packing, fault));
    free(items);
    return good;
}

static void drop_offer(struct offer *offer) {
    packing_free(&offer->packing);
    free(offer->thing_of);
    *offer = (struct offer){0};
}

static bool better(const struct offer *one, const struct offer *other) {
    if (one->taken != other->taken)
        return one->taken > other->taken;
    return one->packing.price < other->packing.price;
}

static json_t *name_of(const json_t *thing) {
    const char *kind = json_object_get(thing, "kit") != NULL ? "kit" : "piece";
    return json_pack("{s:O}", kind, json_object_get(thing, kind));
}

static json_t *parcel_of(const struct load *load, const struct offer *offer, size_t index) {
    const struct packing_parcel *parcel = &offer->packing.parcels[index];
    const struct packing_wrap *wrap = &offer->wraps[parcel->wrap];
    json_t *things = json_array();
    for (size_t i = 0; i < offer->taken; i++)
        if (offer->packing.parcel_of[i] == index)
            json_array_append_new(things, name_of(json_array_get(load->things, offer->thing_of[i])));
    return json_pack("{s:s, s:s, s:s, s:I, s:I, s:I, s:o}", "carrier", offer->carrier->code, "wrap",
                     wrap->code, "wrap_name", offer->named[parcel->wrap]->name, "mass",
                     (json_int_t)parcel->mass, "outside", (json_int_t)packing_outside(wrap), "girth",
                     (json_int_t)packing_girth(wrap), "things", things);
}

static json_t *own_parcel(json_t *things, int64_t mass) {
    return json_pack("{s:s, s:s, s:s, s:I, s:i, s:i, s:o}", "carrier", "", "wrap", "", "wrap_name", "",
                     "mass", (json_int_t)mass, "outside", 0, "girth", 0, "things", things);
}

static bool is_taken(const struct offer *offer, size_t thing) {
    for (size_t i = 0; i < offer->taken; i++)
        if (offer->thing_of[i] == thing)
            return true;
    return false;
}

/* What no carrier takes goes by itself, each thing a parcel; without any carrier all is one. */
static void add_own(const struct load *load, const struct offer *offer, json_t *parcels) {
    json_t *all = offer->carrier == NULL ? json_array() : NULL;
    int64_t mass = 0;
    for (size_t i = 0; i < load->count; i++) {
        json_t *name = is_taken(offer, i) ? NULL : name_of(json_array_get(load->things, i));
        mass += load->items[i].mass;
        if (all != NULL)
            json_array_append_new(all, name);
        else if (name != NULL)
            json_array_append_new(parcels, own_parcel(json_pack("[o]", name), load->items[i].mass));
    }
    if (all != NULL)
        json_array_append_new(parcels, own_parcel(all, mass));
}

static json_t *numbered(const struct load *load, const struct offer *offer) {
    json_t *parcels = json_array(), *parcel;
    size_t index;
    for (size_t i = 0; i < offer->packing.count; i++)
        json_array_append_new(parcels, parcel_of(load, offer, i));
    add_own(load, offer, parcels);
    json_array_foreach(parcels, index, parcel) {
        json_object_set_new(parcel, "number", json_integer((json_int_t)index + 1));
        json_object_set_new(parcel, "of", json_integer((json_int_t)json_array_size(parcels)));
    }
    return parcels;
}

static json_t *split(const struct load *load, const struct catalogue *catalogue, struct fault *fault) {
    struct offer best = {0};
    bool good = true;
    for (size_t i = 0; good && i < catalogue->carrier_count; i++) {
        struct offer offer;
        good = make_offer(load, &catalogue->carriers[i], &offer, fault);
        if (good && (best.carrier == NULL || better(&offer, &best))) {
            drop_offer(&best);
            best = offer;
        } else {
            drop_offer(&offer);
        }
    }
    json_t *parcels = good ? numbered(load, &best) : NULL;
    drop_offer(&best);
    return parcels;
}

json_t *parcels_split(struct desk_call *call, int64_t id, struct fault *fault) {
    int64_t version;
    const struct catalogue *catalogue = desk_catalogue(call, &version, fault);
    json_t *things = catalogue == NULL ? NULL : statement_json_for(call, &query_parcel_things, id, fault);
    if (things == NULL)
        return NULL;
    struct load load;
    json_t *parcels = load_measure(things, catalogue, &load, fault) ? split(&load, catalogue, fault) : NULL;
    load_free(&load);
    json_decref(things);
    return parcels;
}

bool parcels_close(struct desk_call *call, int64_t id, json_t *answers, struct fault *fault) {
    json_t *parcels = parcels_split(call, id, fault);
    if (parcels == NULL)
        return false;
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, id);
    store_json(&values, parcels);
    bool good = store_run_nothing(call->session, &query_parcel_make, &values, fault);
    json_decref(parcels);
    return good &&
           labels_ask_if_printed(call, "parcel", statement_json_for(call, &query_parcel_labels, id, fault),
                                 answers, fault);
}

bool parcels_open(struct desk_call *call, int64_t id, struct fault *fault) {
    return statement_for(call, &query_parcel_open, id, fault);
}
