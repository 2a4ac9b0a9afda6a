/* What to buy now, and why: each part and bar length with its demand, reorder point and proposed quantity.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"
#include "replenish/replenish.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct practice {
    double service, order_cost, holding_share;
    bool due_only;
};

static bool read_practice(const json_t *body, struct practice *practice, struct fault *fault) {
    struct form form;
    char part[41];
    form_open(&form, body, "", fault);
    form_text_or(&form, "part", part, sizeof part, "");
    practice->service = form_number_or(&form, "service", 0.5, 0.9999, 0.95);
    practice->order_cost = form_number_or(&form, "order_cost", 0, 1e9, 2500);
    practice->holding_share = form_number_or(&form, "holding_share", 0.001, 10, 0.25);
    practice->due_only = form_boolean_or(&form, "due_only", false);
    return form_close(&form);
}

static double number_of(const json_t *row, const char *name) {
    return json_number_value(json_object_get(row, name));
}

static bool compute_reorder(const json_t *row, double service, struct reorder *reorder, struct fault *fault) {
    const json_t *weeks = json_object_get(row, "weeks");
    size_t count = json_array_size(weeks);
    double *used = calloc(count ? count : 1, sizeof *used);
    if (used == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < count; i++)
        used[i] = json_number_value(json_array_get(weeks, i));
    struct demand demand = {used, count};
    struct lead_time lead = {fmax(0.1, number_of(row, "lead_days") / 7), 0};
    bool good = reorder_compute(&demand, &lead, service, reorder, fault);
    free(used);
    return good;
}

/* How many to buy when what is there and not yet promised is at or below the reorder point: at least enough
 * to be above it again. A part without price or demand is bought by need alone. */
static bool compute_lot(const json_t *row, const struct practice *practice, const struct reorder *reorder,
                        int64_t position, int64_t *buy, struct fault *fault) {
    int64_t need = reorder->point - position;
    double price = number_of(row, "price");
    *buy = 0;
    if (position > reorder->point || (reorder->law == DEMAND_NONE && need <= 0))
        return true;
    if (strcmp(json_string_value(json_object_get(row, "unit")), "length") == 0)
        price /= 10000; /* a metre's price, for the tenths that stock counts */
    *buy = need > 0 ? need : 1;
    if (price <= 0 || reorder->mean <= 0)
        return true;
    struct price_break price_of_one = {1, price};
    struct buying buying = {.yearly = reorder->mean * 52,
                            .order_cost = practice->order_cost,
                            .holding_share = practice->holding_share,
                            .pack = 1,
                            .least = *buy,
                            .prices = &price_of_one,
                            .price_count = 1};
    struct lot lot;
    if (!lot_compute(&buying, &lot, fault))
        return false;
    *buy = lot.quantity;
    return true;
}

/* In the unit that people use: pieces, or millimetres for what is sold by length. */
static json_t *shown(const json_t *row, double quantity) {
    bool by_length = strcmp(json_string_value(json_object_get(row, "unit")), "length") == 0;
    double value = by_length ? round(quantity) / 10 : round(quantity * 100) / 100;
    return value == floor(value) && fabs(value) < 9e15 ? json_integer((json_int_t)value) : json_real(value);
}

static json_t *explain(const json_t *row, const struct practice *practice, struct fault *fault) {
    struct reorder reorder;
    int64_t buy, position = (int64_t)(number_of(row, "on_hand") - number_of(row, "wanted"));
    if (!compute_reorder(row, practice->service, &reorder, fault) ||
        !compute_lot(row, practice, &reorder, position, &buy, fault))
        return NULL;
    json_t *line =
        json_pack("{s:O, s:O, s:O, s:O, s:O, s:O, s:s, s:i}", "kind", json_object_get(row, "kind"), "code",
                  json_object_get(row, "code"), "name", json_object_get(row, "name"), "unit",
                  json_object_get(row, "unit"), "supplier", json_object_get(row, "supplier"), "lead_days",
                  json_object_get(row, "lead_days"), "law", demand_law_words[reorder.law], "weeks",
                  (int)json_array_size(json_object_get(row, "weeks")));
    if (line == NULL) {
        fault_memory(fault);
        return NULL;
    }
    json_object_set_new(line, "on_hand", shown(row, number_of(row, "on_hand")));
    json_object_set_new(line, "wanted", shown(row, number_of(row, "wanted")));
    json_object_set_new(line, "position", shown(row, (double)position));
    json_object_set_new(line, "weekly", shown(row, reorder.mean));
    json_object_set_new(line, "deviation", shown(row, reorder.deviation));
    json_object_set_new(line, "lead_demand", shown(row, reorder.lead_mean));
    json_object_set_new(line, "safety_stock", shown(row, reorder.safety_stock));
    json_object_set_new(line, "reorder_point", shown(row, (double)reorder.point));
    json_object_set_new(line, "buy", shown(row, (double)buy));
    return line;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct practice practice;
    if (!read_practice(call->body, &practice, fault))
        return NULL;
    json_t *rows = desk_read(call, &query_reorder_demand, "parts", fault);
    json_t *lines = rows == NULL ? NULL : json_array();
    const json_t *row;
    size_t i;
    json_array_foreach(rows, i, row) {
        json_t *line = explain(row, &practice, fault);
        if (line == NULL) {
            json_decref(lines);
            json_decref(rows);
            return NULL;
        }
        if (!practice.due_only || json_number_value(json_object_get(line, "buy")) > 0)
            json_array_append_new(lines, line);
        else
            json_decref(line);
    }
    json_decref(rows);
    return lines == NULL ? NULL : json_pack("{s:f, s:o}", "service", practice.service, "lines", lines);
}

const struct desk_verb desk_verb_reorder_list = {
    .name = "reorder.list",
    .roles = ROLE_MANAGER,
    .changes = false,
    .summary = "What to buy now: demand, reorder point, safety stock and proposed quantity of each part and "
               "bar length",
    .run = run,
};
