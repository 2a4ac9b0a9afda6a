/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static bool check_bin(const json_t *bin, const char *path, struct fault *fault) {
    struct form form;
    char code[STOCK_CODE];
    form_open(&form, bin, path, fault);
    form_text(&form, "code", code, sizeof code);
    form_integer(&form, "walk", 0, 1000000);
    return form_close(&form);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char path[128];
    form_open(&form, call->body, "", fault);
    const json_t *bins = form_array(&form, "bins", 1, STOCK_LINES);
    for (size_t i = 0; i < json_array_size(bins); i++)
        if (!check_bin(json_array_get(bins, i), form_below(&form, "bins", (long)i, path), fault))
            return NULL;
    return form_close(&form) ? desk_read(call, &query_bin_set, "bins", fault) : NULL;
}

const struct desk_verb desk_verb_bin_set = {
    "bin.set", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES,
    "Makes bins, or changes where they come along the walk through the stores.", run};
