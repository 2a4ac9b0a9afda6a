/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/kit_steps.h"

#include "desk/statement.h"
#include "desk/stock_steps.h"

bool kit_open(struct desk_call *call, struct kit *kit, struct fault *fault) {
    json_t *found = desk_read(call, &query_kit_lock, "kit", fault);
    if (found == NULL)
        return false;
    kit->id = json_integer_value(json_object_get(found, "kit"));
    kit->order = json_integer_value(json_object_get(found, "order"));
    json_decref(found);
    return true;
}

bool kit_step(struct desk_call *call, const struct query *query, const struct kit *kit, bool *changed,
              struct fault *fault) {
    json_t *answer = statement_json_for(call, query, kit->id, fault);
    if (answer == NULL)
        return false;
    *changed = json_is_true(answer);
    json_decref(answer);
    return true;
}

json_t *kit_answer(struct desk_call *call, const struct kit *kit, const char *topic, struct fault *fault) {
    json_t *brief = statement_json_for(call, &query_kit_brief, kit->id, fault);
    if (brief == NULL || topic == NULL)
        return brief;
    json_t *told = json_pack("{s:O, s:O, s:O, s:O}", "kit", json_object_get(brief, "kit"), "order",
                             json_object_get(brief, "order"), "window", json_object_get(brief, "window"),
                             "state", json_object_get(brief, "state"));
    if (desk_announce(call, topic, told, fault))
        return brief;
    json_decref(brief);
    return NULL;
}

json_t *kit_ask(struct desk_call *call, const struct query *query, const struct kit *kit,
                struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, call->body);
    store_integer(&values, kit->id);
    return statement_json(call, query, &values, fault);
}

static bool book(struct desk_call *call, const struct kit *kit, const struct query *entries,
                 const json_t *reserved, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, call->body);
    store_integer(&values, kit->id);
    if (entries->parameters > 3)
        store_json(&values, reserved);
    json_t *booked = statement_json(call, entries, &values, fault);
    bool good = booked != NULL && stock_book(call, booked, fault);
    json_decref(booked);
    return good;
}

static bool reserve_again(struct desk_call *call, const struct kit *kit, const json_t *parts,
                          struct fault *fault) {
    json_t *own = stock_hand_on(call, parts, kit->order, fault);
    json_t *others = own == NULL ? NULL : stock_hand_on(call, parts, 0, fault);
    bool good = others != NULL;
    json_decref(others);
    json_decref(own);
    return good;
}

static bool move(struct desk_call *call, const struct kit *kit, const json_t *parts,
                 const struct query *entries, const struct query *step, struct fault *fault) {
    json_t *reserved = kit_ask(call, &query_kit_reserved, kit, fault);
    json_t *released = reserved == NULL ? NULL : kit_ask(call, &query_kit_release_part, kit, fault);
    bool changed = false;
    bool good = released != NULL && book(call, kit, entries, reserved, fault) &&
                kit_step(call, step, kit, &changed, fault) && reserve_again(call, kit, parts, fault);
    json_decref(released);
    json_decref(reserved);
    return good;
}

bool kit_move_parts(struct desk_call *call, const struct kit *kit, const struct query *entries,
                    const struct query *step, struct fault *fault) {
    json_t *parts = desk_read(call, &query_kit_lock_part, "part", fault);
    bool good = parts != NULL && move(call, kit, parts, entries, step, fault);
    json_decref(parts);
    return good;
}

bool kit_read(struct desk_call *call, const char *otherwise, struct fault *fault) {
    struct form form;
    char kit[SCAN_FIELD], reason[STOCK_REASON];
    form_open(&form, call->body, "", fault);
    form_text(&form, "kit", kit, sizeof kit);
    form_text_or(&form, "reason", reason, sizeof reason, otherwise);
    return form_close(&form) && desk_reason(call, reason, fault);
}

static json_t *put_piece(struct desk_call *call, const struct kit *kit, const char *state,
                         struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, call->body);
    store_integer(&values, kit->id);
    store_text(&values, state);
    return statement_json(call, &query_kit_match, &values, fault);
}

json_t *kit_match_piece(struct desk_call *call, const char *state, struct fault *fault) {
    struct kit kit;
    json_t *piece = kit_open(call, &kit, fault) ? put_piece(call, &kit, state, fault) : NULL;
    json_t *brief = piece == NULL ? NULL : kit_answer(call, &kit, NULL, fault);
    json_t *answer = brief == NULL ? NULL : json_pack("{s:O, s:O}", "piece", piece, "kit", brief);
    if (brief != NULL && answer == NULL)
        fault_memory(fault);
    json_decref(brief);
    json_decref(piece);
    return answer;
}
