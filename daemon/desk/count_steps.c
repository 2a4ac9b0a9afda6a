/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/count_steps.h"

#include "common/text.h"
#include "desk/stock_steps.h"

#include <stdio.h>
#include <string.h>

void count_read(struct form *form) {
    char text[SCAN_FIELD];
    int named = form_has(form, "stock_take") + form_has(form, "bin") + form_has(form, "place");
    form_integer_or(form, "stock_take", 1, INT64_MAX, 1);
    form_text_or(form, "bin", text, sizeof text, "");
    form_text_or(form, "place", text, STOCK_CODE, "");
    if (named != 1)
        form_wrong(form, "stock_take", "one-of-two",
                   "Say which: by the number of the stock-take, by its bin, or by its place of the rack.");
}

/* By its place it is found only while it is under way. */
static bool none_there(const json_t *body, struct fault *fault) {
    const json_t *bin = json_object_get(body, "bin"), *place = json_object_get(body, "place");
    const char *where = json_string_value(bin != NULL ? bin : place);
    if (where != NULL && strcmp(fault->code, "not-found") == 0)
        fault_set(fault, "not-found", "stock_take", "No stock-take is under way at %s %.80s; open one first.",
                  bin != NULL ? "bin" : "place", where);
    return false;
}

bool count_find(struct desk_call *call, struct stock_take *take, struct fault *fault) {
    json_t *found = desk_read(call, &query_count_find, "stock_take", fault);
    if (found == NULL)
        return none_there(call->body, fault);
    take->id = json_integer_value(json_object_get(found, "stock_take"));
    take->round = json_integer_value(json_object_get(found, "round"));
    take->rack = json_is_true(json_object_get(found, "rack"));
    text_copy(take->state, sizeof take->state, json_string_value(json_object_get(found, "state")));
    json_decref(found);
    return true;
}

bool count_must_be(const struct stock_take *take, const char *state, struct fault *fault) {
    char code[40];
    if (strcmp(take->state, state) == 0)
        return true;
    snprintf(code, sizeof code, "stock-take-%s", take->state);
    return fault_set(fault, code, "stock_take", "Stock-take %lld is %s; this is for one that is %s.",
                     (long long)take->id, take->state, state);
}

json_t *count_told(struct desk_call *call, const char *topic, json_t *answer, struct fault *fault) {
    if (answer == NULL)
        return NULL;
    if (desk_announce(call, topic,
                      json_pack("{s:O, s:O}", "stock_take", json_object_get(answer, "stock_take"), "state",
                                json_object_get(answer, "state")),
                      fault))
        return answer;
    json_decref(answer);
    return NULL;
}
