/* Who carries parcels, and in what. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/catalogue.h"

#include "takeoff/catalogue_rows.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool wrap_read(const json_t *json, const char *path, struct wrap *wrap, struct fault *fault) {
    static const char *const kinds[] = {"box", "tube", NULL};
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "code", wrap->code, sizeof wrap->code);
    form_text(&form, "name", wrap->name, sizeof wrap->name);
    wrap->round = form_choice(&form, "kind", kinds) == 1;
    wrap->length = form_length(&form, "length", ELL_MM, CATALOGUE_LONGEST);
    wrap->width = form_length(&form, "width", ELL_MM, CATALOGUE_LONGEST);
    wrap->height = wrap->width;
    if (!wrap->round)
        wrap->height = form_length(&form, "height", ELL_MM, CATALOGUE_LONGEST);
    wrap->wall = form_length_or(&form, "wall", 0, 100 * ELL_MM, 0);
    wrap->mass = form_integer_or(&form, "mass", 0, 1000000, 0);
    wrap->price = form_integer_or(&form, "price", 0, 1000000000, 0);
    return form_close(&form);
}

static void wraps_read(struct form *form, struct carrier *carrier) {
    const json_t *array;
    char path[128];
    carrier->wraps =
        rows_open(form, "wraps", 1, CATALOGUE_SMALL, sizeof *carrier->wraps, &array, &carrier->wrap_count);
    for (size_t i = 0; i < carrier->wrap_count && !form->failed; i++) {
        form->failed = !wrap_read(json_array_get(array, i), form_below(form, "wraps", (long)i, path),
                                  &carrier->wraps[i], form->fault);
        if (!form->failed &&
            rows_find(carrier->wraps, i, sizeof *carrier->wraps, carrier->wraps[i].code) != SIZE_MAX) {
            form->failed = true;
            fault_set(form->fault, "twice-named", path,
                      "The code \"%s\" is in this table twice; take one out.", carrier->wraps[i].code);
        }
    }
}

bool carrier_read(const json_t *json, const char *path, struct carrier *carrier, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "code", carrier->code, sizeof carrier->code);
    form_text(&form, "name", carrier->name, sizeof carrier->name);
    carrier->longest = form_length_or(&form, "longest", ELL_MM, CATALOGUE_LONGEST, 0);
    carrier->around = form_length_or(&form, "around", ELL_MM, CATALOGUE_LONGEST, 0);
    carrier->heaviest = form_integer_or(&form, "heaviest", 1, 1000000, 0);
    wraps_read(&form, carrier);
    return form_close(&form);
}

void carrier_free(struct carrier *carrier) {
    free(carrier->wraps);
}

/* Whoever gives parcels away must know how thick a track is when it is wrapped. */
bool carriers_check(const struct catalogue *catalogue, struct fault *fault) {
    char where[64];
    for (size_t i = 0; i < catalogue->system_count && catalogue->carrier_count > 0; i++)
        if (catalogue->systems[i].wrapped_width == 0) {
            snprintf(where, sizeof where, "systems[%zu].wrapped", i);
            return fault_set(
                fault, "missing-field", where,
                "With carriers in the catalogue each system says how wide and high a piece is when wrapped.");
        }
    return true;
}
