/* What lies in which parcel of an order, or will. SPDX-License-Identifier: Apache-2.0 */
#include "desk/parcel_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"

#include <string.h>

/* Fields of the page, from those of the tables. */
static bool show_planned(struct desk_call *call, json_t *parcel, struct fault *fault) {
    struct store_values values = {0};
    store_json(&values, json_object_get(parcel, "things"));
    json_t *contents = statement_json(call, &query_parcel_contents, &values, fault);
    if (contents == NULL)
        return false;
    static const char *const lengths[] = {"outside", "girth"};
    for (size_t i = 0; i < 2; i++)
        json_object_set_new(parcel, lengths[i],
                            document_length(json_integer_value(json_object_get(parcel, lengths[i]))));
    bool own = json_string_length(json_object_get(parcel, "carrier")) == 0;
    json_object_set(parcel, "wrap", json_object_get(parcel, "wrap_name"));
    json_object_set(parcel, "parcel", json_object_get(parcel, "number"));
    json_object_set_new(parcel, "contents", contents);
    static const char *const inner[] = {"wrap_name", "number", "things"}, *const of_carriers[] = {
                                                                              "carrier", "wrap", "outside",
                                                                              "girth"};
    for (size_t i = 0; i < sizeof inner / sizeof inner[0]; i++)
        json_object_del(parcel, inner[i]);
    for (size_t i = 0; own && i < sizeof of_carriers / sizeof of_carriers[0]; i++)
        json_object_del(parcel, of_carriers[i]);
    return true;
}

static bool plan(struct desk_call *call, json_t *answer, int64_t id, struct fault *fault) {
    json_t *parcels = parcels_split(call, id, fault), *parcel;
    size_t index;
    if (parcels == NULL)
        return false;
    json_object_set_new(answer, "parcels", parcels);
    json_array_foreach(parcels, index, parcel) {
        if (!show_planned(call, parcel, fault))
            return false;
    }
    return true;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char order[SCAN_FIELD];
    form_open(&form, call->body, "", fault);
    form_text(&form, "order", order, sizeof order);
    json_t *answer = form_close(&form) ? desk_read(call, &query_parcel_list, "order", fault) : NULL;
    if (answer == NULL)
        return NULL;
    int64_t id = json_integer_value(json_object_get(answer, "id"));
    const char *state = json_string_value(json_object_get(answer, "state"));
    bool planned = json_array_size(json_object_get(answer, "parcels")) == 0 && state != NULL &&
                   (strcmp(state, "taken") == 0 || strcmp(state, "held") == 0);
    json_object_del(answer, "id");
    json_object_set_new(answer, "planned", json_boolean(planned));
    if (!planned || plan(call, answer, id, fault))
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_parcel_list = {
    "parcel.list", ROLE_ANY, DESK_READS,
    "The parcels of an order with what lies in each; before it is packed, how it will be split.", run};
