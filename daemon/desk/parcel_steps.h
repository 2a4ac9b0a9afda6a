/* An order's parcels: split by what the catalogue's carriers take, closed, opened again. In the call's transaction, the order
 * locked before. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PARCEL_STEPS_H
#define ELLWAND_DESK_PARCEL_STEPS_H

#include "desk/verb.h"

/* How order `id` would be packed: [{number, of, carrier, wrap, wrap_name, mass (g), outside, girth (tenths of a mm),
 * things: [{piece | kit}]}]. Of all carriers the one that leaves the fewest things to be carried by ourselves (carrier ""),
 * and of those the cheapest. Without carriers in the catalogue all is one parcel. A new reference; NULL and fault. */
json_t *parcels_split(struct desk_call *call, int64_t id, struct fault *fault);

/* Splits, closes the parcels, and asks for their labels, which are appended to `answers` where a station prints such. */
bool parcels_close(struct desk_call *call, int64_t id, json_t *answers, struct fault *fault) MUST_CHECK;

/* Opens what is closed of order `id`. */
bool parcels_open(struct desk_call *call, int64_t id, struct fault *fault) MUST_CHECK;

#endif
