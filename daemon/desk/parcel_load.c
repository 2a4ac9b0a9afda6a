/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/parcel_load.h"

#include <math.h>
#include <stdlib.h>

static int64_t integer_of(const json_t *object, const char *name) {
    return json_integer_value(json_object_get(object, name));
}

static void measure_piece(const json_t *thing, const struct track_system *system, struct packing_item *item) {
    item->length = integer_of(thing, "length");
    item->width = system->wrapped_width;
    item->height = system->wrapped_height;
    item->mass = (int64_t)ceil(system->mass * (double)item->length / 10000);
}

/* The bag is as thick as it must be to hold so many millilitres: 1 ml is a million cubic tenths of a millimetre. */
static void measure_kit(const json_t *thing, const struct catalogue *catalogue, struct packing_item *item) {
    double mass = 0, bulk = 0;
    size_t index;
    const json_t *line;
    json_array_foreach(json_object_get(thing, "parts"), index, line) {
        size_t part = catalogue_part(catalogue, json_string_value(json_object_get(line, "part")));
        if (part == SIZE_MAX)
            continue; /* of an older catalogue */
        double units = (double)integer_of(line, "units");
        if (catalogue->parts[part].unit == UNIT_LENGTH)
            units /= 10000; /* metres */
        mass += units * catalogue->parts[part].mass;
        bulk += units * catalogue->parts[part].bulk;
    }
    ell_length side = (ell_length)ceil(sqrt(bulk * 1e6 / (double)KIT_BAG));
    item->length = KIT_BAG;
    item->width = item->height = side < 10 * ELL_MM ? 10 * ELL_MM : side;
    item->mass = (int64_t)ceil(mass);
}

bool load_measure(const json_t *things, const struct catalogue *catalogue, struct load *load,
                  struct fault *fault) {
    size_t count = json_array_size(things);
    *load = (struct load){.things = things,
                          .count = count,
                          .items = calloc(count + 1, sizeof *load->items),
                          .loose = calloc(count + 1, sizeof *load->loose)};
    if (load->items == NULL || load->loose == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < count; i++) {
        const json_t *thing = json_array_get(things, i);
        const struct track_system *system =
            catalogue_system(catalogue, json_string_value(json_object_get(thing, "system")));
        if (json_object_get(thing, "kit") != NULL) {
            measure_kit(thing, catalogue, &load->items[i]);
            continue;
        }
        load->loose[i] =
            system == NULL || system->wrapped_width == 0 || json_is_true(json_object_get(thing, "bent"));
        if (system != NULL)
            measure_piece(thing, system, &load->items[i]);
    }
    return true;
}

void load_free(struct load *load) {
    free(load->items);
    free(load->loose);
}
