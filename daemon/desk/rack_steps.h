/* Putting bars and offcuts on the rack, for the verbs that do. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_RACK_STEPS_H
#define ELLWAND_DESK_RACK_STEPS_H

#include "desk/verb.h"

#include <ellwand/length.h>

struct rack_arrival {
    const char *kind; /* "bar" or "offcut" */
    char system[41], finish[41], batch[41], place[41];
    ell_length length;
    int64_t count; /* so many alike, 1 to 500 */
    bool squared;  /* the lead end is square already */
};

/* Reads the field "kind". */
void rack_arrival_read_kind(struct form *form, struct rack_arrival *arrival);
/* Reads all fields but the kind. */
void rack_arrival_read(struct form *form, struct rack_arrival *arrival);

/* Whether the catalogue makes this system in this finish, and buys bars of this length; `path` ("bars[2]", or "" for the request
 * itself) names the arrival in faults: "unknown-system", "check-measure". */
bool rack_arrival_check(struct desk_call *call, const struct rack_arrival *arrival, const char *path,
                        struct fault *fault) MUST_CHECK;

/* What the arrival is, as the statements of the rack take it. A new reference; NULL and fault without memory. */
json_t *rack_arrival_document(const struct rack_arrival *arrival, struct fault *fault) MUST_CHECK;

/* Makes the rows: [{"bar", "code"}, ..], a new reference; NULL and fault when it fails. */
json_t *rack_arrival_add(struct desk_call *call, const struct rack_arrival *arrival,
                         struct fault *fault) MUST_CHECK;

/* Queues labels for bars as rack_arrival_add gave them (borrowed), and says so in `answers`. */
bool rack_arrival_label(struct desk_call *call, const json_t *added, json_t *answers,
                        struct fault *fault) MUST_CHECK;

#endif
