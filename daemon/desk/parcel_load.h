/* What an order's things measure when they are packed. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PARCEL_LOAD_H
#define ELLWAND_DESK_PARCEL_LOAD_H

#include "common/document.h"
#include "packing/packing.h"
#include "takeoff/catalogue.h"

struct load {
    const json_t *things; /* parcel/things; borrowed */
    size_t count;
    struct packing_item *items; /* owned, one for each thing */
    bool *loose;                /* owned: bent, or of a system nobody measured: no tube or box takes it */
};

/* Measures `things` (parcel/things) by the catalogue: a piece is as long as it is and as thick as its system says; a kit is a
 * soft bag of what its parts take up, at most KIT_BAG long. Parts that nobody weighed count as nothing. The caller frees
 * *load (load_free), also after a failure. */
bool load_measure(const json_t *things, const struct catalogue *catalogue, struct load *load,
                  struct fault *fault) MUST_CHECK;
void load_free(struct load *load);

/* The length of a bag of parts along a tube or box. Common practice, no source. */
#define KIT_BAG (300 * ELL_MM)

#endif
