/* Changes an order: its day, its customer, or its windows. A window that is measured again or dropped is given up as a cancelled order's
 * are, in an order of its own that is made for it. SPDX-License-Identifier: Apache-2.0 */
#include "desk/order_steps.h"
#include "desk/order_windows.h"
#include "desk/parcel_steps.h"
#include "desk/statement.h"
#include "takeoff/order_file.h"

#include "common/text.h"

#include <string.h>

struct changing {
    struct order_subject order;
    const json_t *surveys, *drop;       /* borrowed from the body; NULL when not given */
    json_t *head;                       /* what the order is to say of itself: owned, as are the next */
    json_t *places;                     /* of the windows there are: {"W1": 1, ..} */
    json_t *replaced, *added, *dropped; /* names */
    json_t *windows;                    /* the new ones, worked out */
    int64_t version;                    /* of the catalogue they were worked out with */
    json_t *what;                       /* for the record */
};

static void read_head(struct form *form, json_t *head) {
    static const char *const units[] = {"mm", "cm", "in", NULL};
    char customer[CATALOGUE_NAME], notes[SURVEY_NOTES], due[11];
    if (form_has(form, "customer")) {
        form_text(form, "customer", customer, sizeof customer);
        json_object_set_new(head, "customer", json_string(customer));
    }
    if (form_has(form, "due")) {
        form_date_or(form, "due", due, "");
        json_object_set_new(head, "due", json_string(due));
    }
    if (form_has(form, "priority"))
        json_object_set_new(head, "priority", json_integer(form_integer(form, "priority", 0, 9)));
    if (form_has(form, "notes")) {
        const json_t *given = json_object_get(form->object, "notes");
        notes[0] = '\0'; /* "" takes away what stood there */
        if (!json_is_string(given) || json_string_length(given) > 0)
            form_text(form, "notes", notes, sizeof notes);
        json_object_set_new(head, "notes", json_string(notes));
    }
    if (form_has(form, "unit"))
        json_object_set_new(head, "unit", json_string(units[form_choice(form, "unit", units)]));
}

static bool read_body(struct desk_call *call, struct changing *changing, struct fault *fault) {
    struct form form;
    struct order_subject *order = &changing->order;
    form_open(&form, call->body, "", fault);
    form_text(&form, "order", order->number, sizeof order->number);
    form_text_or(&form, "reason", order->reason, sizeof order->reason, "");
    read_head(&form, changing->head);
    changing->surveys = form_array(&form, "windows", 0, ORDER_WINDOWS);
    changing->drop = form_array(&form, "drop", 0, ORDER_WINDOWS);
    size_t windows = json_array_size(changing->surveys) + json_array_size(changing->drop);
    if (windows > 0 && order->reason[0] == '\0')
        form_wrong(&form, "reason", "missing-field", "Say why windows change.");
    if (windows == 0 && json_object_size(changing->head) == 0)
        form_wrong(&form, "order", "missing-field",
                   "Say what changes: customer, due, priority, notes, unit, windows or drop.");
    return form_close(&form);
}

static bool open_order(struct desk_call *call, struct order_subject *order, struct fault *fault) {
    if (!order_lock(call, order, fault) || !desk_reason(call, order->reason, fault))
        return false;
    bool over = strcmp(order->state, "dispatched") == 0 || strcmp(order->state, "cancelled") == 0;
    return !over || fault_set(fault, "step-not-allowed", "order",
                              "Order %s is %s; take another order for what is still wanted.", order->number,
                              order->state);
}

static bool holds(const json_t *names, const char *name) {
    size_t at;
    json_t *item;
    json_array_foreach((json_t *)names, at, item) {
        if (strcmp(json_string_value(item), name) == 0)
            return true;
    }
    return false;
}

/* The new windows: those of a name that is there take its place, the others come behind. */
static bool sort_given(struct changing *changing, struct fault *fault) {
    json_int_t last = 0;
    const char *name;
    json_t *place, *window;
    size_t at;
    json_object_foreach(changing->places, name, place) last =
        json_integer_value(place) > last ? json_integer_value(place) : last;
    json_array_foreach(changing->windows, at, window) {
        name = json_string_value(json_object_get(window, "window"));
        place = json_object_get(changing->places, name);
        if (holds(changing->replaced, name) || holds(changing->added, name))
            return fault_set(fault, "twice-named", "windows", "Window \"%s\" is given twice.", name);
        json_array_append_new(place != NULL ? changing->replaced : changing->added, json_string(name));
        json_object_set_new(window, "position", place != NULL ? json_incref(place) : json_integer(++last));
    }
    return true;
}

static bool sort_dropped(struct changing *changing, struct fault *fault) {
    size_t at;
    json_t *item;
    json_array_foreach((json_t *)changing->drop, at, item) {
        const char *name = json_string_value(item);
        if (name == NULL || json_object_get(changing->places, name) == NULL)
            return fault_set(fault, "not-found", "drop", "Order %s has no window %s.", changing->order.number,
                             name == NULL ? "of such a name" : name);
        if (holds(changing->replaced, name) || holds(changing->dropped, name))
            return fault_set(fault, "twice-named", "drop", "Window \"%s\" is given twice.", name);
        json_array_append(changing->dropped, item);
    }
    size_t left = json_object_size(changing->places) + json_array_size(changing->added) -
                  json_array_size(changing->dropped);
    if (left == 0)
        return fault_set(fault, "out-of-range", "drop",
                         "No window would be left in order %s; cancel it instead.", changing->order.number);
    return left <= ORDER_WINDOWS ||
           fault_set(fault, "too-large", "windows", "An order has at most %d windows.", ORDER_WINDOWS);
}

/* The order that takes what is given up, and is cancelled with it. */
static bool give_up(struct desk_call *call, struct changing *changing, json_t *answer, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    struct order_subject earlier = {.state = "taken"};
    json_t *names = json_array();
    if (names == NULL || json_array_extend(names, changing->replaced) != 0 ||
        json_array_extend(names, changing->dropped) != 0) {
        json_decref(names);
        return fault_memory(fault);
    }
    if (json_array_size(names) == 0) {
        json_decref(names);
        return true;
    }
    store_integer(&values, call->workshop);
    store_integer(&values, changing->order.id);
    bool good = store_run(call->session, &query_order_earlier, &values, &rows, fault);
    if (good) {
        earlier.id = rows_integer(&rows, 0, 0);
        text_copy(earlier.number, sizeof earlier.number, rows_text(&rows, 0, 1));
        text_copy(earlier.reason, sizeof earlier.reason, changing->order.reason);
        rows_free(&rows);
        struct store_values moved = {0};
        store_integer(&moved, changing->order.id);
        store_integer(&moved, earlier.id);
        store_json(&moved, names);
        json_object_set_new(changing->what, "earlier", json_string(earlier.number));
        good = store_run_nothing(call->session, &query_order_move_windows, &moved, fault) &&
               order_cancel(call, &earlier, answer, fault);
    }
    json_decref(names);
    return good;
}

/* A packed order is open again while its windows change, and packed once more when all that is left was packed. */
static bool change_windows(struct desk_call *call, struct changing *changing, json_t *answer,
                           struct fault *fault) {
    const struct order_subject *order = &changing->order;
    if (json_array_size(changing->surveys) + json_array_size(changing->drop) == 0)
        return true;
    changing->places = statement_json_for(call, &query_order_windows, order->id, fault);
    if (changing->places == NULL ||
        (changing->windows = order_windows_work_out(call, changing->surveys, &changing->version, fault)) ==
            NULL ||
        !sort_given(changing, fault) || !sort_dropped(changing, fault))
        return false;
    return parcels_open(call, order->id, fault) &&
           (strcmp(order->state, "packed") != 0 || order_step(call, order, "taken", fault)) &&
           give_up(call, changing, answer, fault) &&
           (json_array_size(changing->windows) == 0 ||
            order_windows_insert(call, order->id, changing->version, changing->windows, fault)) &&
           (strcmp(order->state, "held") == 0 || (order_parts_reserve(call, order->id, fault) &&
                                                  order_pack_again(call, order->id, answer, fault)));
}

static bool note(struct desk_call *call, struct changing *changing, struct fault *fault) {
    struct store_values values = {0};
    const struct {
        const char *name;
        json_t *list;
    } lists[] = {
        {"replaced", changing->replaced}, {"added", changing->added}, {"dropped", changing->dropped}};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++)
        if (json_array_size(lists[i].list) > 0)
            json_object_set(changing->what, lists[i].name, lists[i].list);
    if (json_object_size(changing->what) == 0)
        return true;
    store_integer(&values, call->workshop);
    store_integer(&values, changing->order.id);
    store_json(&values, changing->what);
    return store_run_nothing(call->session, &query_order_note_change, &values, fault) &&
           desk_announce(call, "order.changed", json_pack("{s:s}", "order", changing->order.number), fault);
}

static bool change(struct desk_call *call, struct changing *changing, json_t *answer, struct fault *fault) {
    struct store_values values = {0};
    if (!read_body(call, changing, fault) || !open_order(call, &changing->order, fault))
        return false;
    store_integer(&values, changing->order.id);
    store_json(&values, changing->head);
    changing->what = statement_json(call, &query_order_change, &values, fault);
    if (changing->what == NULL || !change_windows(call, changing, answer, fault) ||
        !note(call, changing, fault))
        return false;
    json_t *document = order_document(call, changing->order.number, fault);
    if (document == NULL)
        return false;
    json_object_set_new(answer, "order", json_string(changing->order.number));
    json_object_set(answer, "state", json_object_get(document, "state"));
    json_object_set(answer, "short", json_object_get(document, "short"));
    json_object_set(answer, "what", changing->what);
    json_decref(document);
    return true;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct changing changing = {
        .head = json_object(), .replaced = json_array(), .added = json_array(), .dropped = json_array()};
    json_t *answer = json_object();
    bool good = answer != NULL && changing.head != NULL && changing.replaced != NULL &&
                changing.added != NULL && changing.dropped != NULL;
    good = good ? change(call, &changing, answer, fault) : fault_memory(fault);
    json_t *const owned[] = {changing.head,    changing.places,  changing.replaced, changing.added,
                             changing.dropped, changing.windows, changing.what,     good ? NULL : answer};
    for (size_t i = 0; i < sizeof owned / sizeof owned[0]; i++)
        json_decref(owned[i]);
    return good ? answer : NULL;
}

const struct desk_verb desk_verb_order_change = {
    "order.change", ROLE_DESK, DESK_CHANGES,
    "Changes an order: its day, priority, customer or notes, and windows measured again, added or dropped.",
    run};
