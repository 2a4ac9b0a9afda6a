/* Inside the room. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PACKING_INSIDE_H
#define ELLWAND_PACKING_INSIDE_H

#include "packing/packing.h"

/* Whether the thing fits into the wrap when it is alone there, its weight included. */
bool packing_fits(const struct packing_item *item, const struct packing_wrap *wrap);
/* Cross-sections, in hundredths of a square millimetre: of a thing, and what of a wrap can be filled. A thing that fits
 * alone counts for no more than the whole of the wrap. */
int64_t packing_area(const struct packing_item *item);
int64_t packing_room(const struct packing_wrap *wrap);

#endif
