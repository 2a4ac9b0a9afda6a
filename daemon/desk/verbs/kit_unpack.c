/* A packed kit is opened again. SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"
#include "desk/parcel_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct kit kit;
    bool opened = false, order_opened = false;
    if (!kit_read(call, "opened again", fault) || !kit_open(call, &kit, fault) ||
        !kit_step(call, &query_kit_unpack, &kit, &opened, fault) || !parcels_open(call, kit.order, fault) ||
        !kit_step(call, &query_kit_unpack_order, &kit, &order_opened, fault))
        return NULL;
    return kit_answer(call, &kit, "kit.unpacked", fault);
}

const struct desk_verb desk_verb_kit_unpack = {"kit.unpack", ROLE_STORES | ROLE_MANAGER,
                                               DESK_CHANGES_UNDER_LOCKS,
                                               "Opens a packed kit, and with it its order, again.", run};
