/* Changes what the workshop has set. SPDX-License-Identifier: Apache-2.0 */
#include "desk/statement.h"

enum { PLACES_MOST = 1000000 };

static json_t *read_settings(const json_t *body, struct fault *fault) {
    struct form form;
    json_t *settings = json_object();
    form_open(&form, body, "", fault);
    bool usable = form_has(&form, "usable_remainder"), percent = form_has(&form, "value_percent");
    const json_t *places = json_object_get(body, "rack_places");
    int64_t length = form_length_or(&form, "usable_remainder", 1, ELL_LENGTH_MAX, 0);
    int64_t part = form_integer_or(&form, "value_percent", 0, 100, 0);
    int64_t count = form_integer_or(&form, "rack_places", 0, PLACES_MOST, 0);
    if (!usable && !percent && places == NULL)
        form_wrong(&form, "", "missing-field",
                   "Name at least one of usable_remainder, value_percent and rack_places.");
    bool fine = settings != NULL;
    if (fine && usable)
        fine = json_object_set_new(settings, "usable_remainder", json_integer(length)) == 0;
    if (fine && percent)
        fine = json_object_set_new(settings, "value_percent", json_integer(part)) == 0;
    if (fine && places != NULL)
        fine = json_object_set_new(settings, "rack_places",
                                   json_is_null(places) ? json_null() : json_integer(count)) == 0;
    if (form_close(&form) && (fine || fault_memory(fault)))
        return settings;
    json_decref(settings);
    return NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    json_t *settings = read_settings(call->body, fault);
    return settings == NULL ? NULL : statement_document(call, &query_workshop_set, settings, fault);
}

const struct desk_verb desk_verb_workshop_set = {
    "workshop.set", ROLE_MANAGER, DESK_CHANGES,
    "Changes what goes back to the rack, what it is worth, or how much the rack holds.", run};
