/* A complete kit with its pieces is closed. SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct kit kit;
    bool packed = false, whole_order = false;
    if (!kit_read(call, "packed", fault) || !kit_open(call, &kit, fault) ||
        !kit_step(call, &query_kit_pack, &kit, &packed, fault) ||
        !kit_step(call, &query_kit_pack_order, &kit, &whole_order, fault))
        return NULL;
    return kit_answer(call, &kit, whole_order ? "order.packed" : "kit.packed", fault);
}

const struct desk_verb desk_verb_kit_pack = {
    "kit.pack", ROLE_STORES, true,
    "Closes a complete kit whose pieces are matched; the last of an order packs the order.", run};
