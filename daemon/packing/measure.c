/* What fits into what. SPDX-License-Identifier: Apache-2.0 */
#include "packing/inside.h"

#include <math.h>

ell_length packing_outside(const struct packing_wrap *wrap) {
    return wrap->length + 2 * wrap->wall;
}

ell_length packing_girth(const struct packing_wrap *wrap) {
    ell_length width = wrap->width + 2 * wrap->wall, height = wrap->height + 2 * wrap->wall;
    return wrap->round ? (ell_length)ceil(M_PI * (double)width) : 2 * (width + height);
}

bool packing_allowed(const struct packing_wrap *wrap, const struct packing_limits *limits) {
    ell_length longest = packing_outside(wrap);
    return (limits->longest == 0 || longest <= limits->longest) &&
           (limits->around == 0 || longest + packing_girth(wrap) <= limits->around) &&
           (limits->heaviest == 0 || wrap->mass < limits->heaviest);
}

/* Its corners touch a tube: the diagonal is what counts there. A flat thing may lie on either side in a box. */
static bool section_fits(const struct packing_item *item, const struct packing_wrap *wrap) {
    if (wrap->round)
        return item->width * item->width + item->height * item->height <= wrap->width * wrap->width;
    return (item->width <= wrap->width && item->height <= wrap->height) ||
           (item->width <= wrap->height && item->height <= wrap->width);
}

bool packing_fits(const struct packing_item *item, const struct packing_wrap *wrap) {
    return item->length <= wrap->length && section_fits(item, wrap) &&
           packing_area(item) <= packing_room(wrap) && item->mass <= wrap->heaviest - wrap->mass;
}

int64_t packing_area(const struct packing_item *item) {
    return item->width * item->height;
}

int64_t packing_room(const struct packing_wrap *wrap) {
    double whole = wrap->round ? M_PI / 4 * (double)wrap->width * (double)wrap->width
                               : (double)wrap->width * (double)wrap->height;
    return (int64_t)(whole * PACKING_FILL / 100);
}
