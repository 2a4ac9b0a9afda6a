/* A complete kit with its pieces is closed. SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"
#include "desk/parcel_steps.h"

/* The order's parcels, and their labels where a station prints such. */
static bool close_parcels(struct desk_call *call, const struct kit *kit, json_t *answer,
                          struct fault *fault) {
    json_t *labels = json_array();
    if (labels == NULL || json_object_set_new(answer, "labels", labels) != 0)
        return fault_memory(fault);
    return parcels_close(call, kit->order, labels, fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct kit kit;
    bool packed = false, whole_order = false;
    if (!kit_read(call, "packed", fault) || !kit_open(call, &kit, fault) ||
        !kit_step(call, &query_kit_pack, &kit, &packed, fault) ||
        !kit_step(call, &query_kit_pack_order, &kit, &whole_order, fault))
        return NULL;
    json_t *answer = kit_answer(call, &kit, whole_order ? "order.packed" : "kit.packed", fault);
    if (answer == NULL || !whole_order || close_parcels(call, &kit, answer, fault))
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_kit_pack = {"kit.pack", ROLE_STORES, DESK_CHANGES_UNDER_LOCKS,
                                             "Closes a complete kit whose pieces are matched; the last of an "
                                             "order packs the order and closes its parcels.",
                                             run};
