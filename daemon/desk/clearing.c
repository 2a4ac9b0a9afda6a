/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/clearing.h"

#include "replenish/clear_out.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { WHY_TEXT = 400 };

static double number_of(const json_t *row, const char *name) {
    return json_number_value(json_object_get(row, name));
}

struct weighing {
    struct clear_piece *pieces;
    struct clear_offcut *offcuts;
    size_t piece_count, offcut_count;
    struct clear_rules rules;
};

static bool read_group(const json_t *group, const struct clearing *rules, struct weighing *made,
                       struct fault *fault) {
    const json_t *pieces = json_object_get(group, "pieces"), *offcuts = json_object_get(group, "offcuts");
    double weeks = fmax(1, number_of(group, "weeks"));
    made->piece_count = json_array_size(pieces);
    made->offcut_count = json_array_size(offcuts);
    made->pieces = calloc(made->piece_count + 1, sizeof *made->pieces);
    made->offcuts = calloc(made->offcut_count + 1, sizeof *made->offcuts);
    if (made->pieces == NULL || made->offcuts == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < made->piece_count; i++) {
        const json_t *piece = json_array_get(pieces, i);
        made->pieces[i] = (struct clear_piece){.length = json_integer_value(json_array_get(piece, 0)),
                                               .weekly = json_number_value(json_array_get(piece, 2)) / weeks,
                                               .paired = json_is_true(json_array_get(piece, 1))};
    }
    for (size_t i = 0; i < made->offcut_count; i++) {
        const json_t *offcut = json_array_get(offcuts, i);
        made->offcuts[i] =
            (struct clear_offcut){.length = json_integer_value(json_object_get(offcut, "usable")),
                                  .mates = json_is_true(json_object_get(offcut, "mates"))};
    }
    made->rules = (struct clear_rules){.weeks = rules->weeks,
                                       .kerf = json_integer_value(json_object_get(group, "kerf")),
                                       .usable = json_integer_value(json_object_get(group, "usable")),
                                       .value_share = number_of(group, "value_share"),
                                       .yield = number_of(group, "yield")};
    return true;
}

static void say_why(const json_t *group, const json_t *row, const struct clear_offcut *offcut,
                    const struct clearing *rules, char why[WHY_TEXT]) {
    double weeks = number_of(group, "weeks");
    if (weeks < CLEARING_WEEKS_ENOUGH)
        snprintf(
            why, WHY_TEXT,
            "Only %.0f weeks of this track were ever cut; that is too few to say what will be asked for.",
            weeks);
    else
        snprintf(why, WHY_TEXT,
                 "At the pace of the last %.0f weeks %.2g pieces would be cut from it in %.0f weeks, shorter "
                 "offcuts first: it serves with "
                 "a chance of %.0f %%, so of its value of %.2f keeping it is worth %.2f, and its place costs "
                 "%.2f.",
                 weeks, offcut->demand, rules->weeks, offcut->chance * 100, number_of(row, "value") / 100,
                 number_of(row, "keep") / 100, number_of(row, "cost") / 100);
}

static json_t *row_of(const json_t *group, const json_t *told, const struct clear_offcut *offcut,
                      const struct clearing *rules) {
    double cost = rules->place_cost * rules->weeks / 52, value = number_of(told, "value"),
           keep = offcut->chance * value;
    bool clear = number_of(group, "weeks") >= CLEARING_WEEKS_ENOUGH &&
                 number_of(told, "days") >= (double)rules->age && keep < cost;
    char why[WHY_TEXT];
    json_t *row =
        json_pack("{s:O, s:O, s:O, s:O, s:O, s:O, s:f, s:f, s:I, s:I, s:b}", "bar",
                  json_object_get(told, "bar"), "system", json_object_get(group, "system"), "finish",
                  json_object_get(group, "finish"), "length", json_object_get(told, "length"), "age_days",
                  json_object_get(told, "days"), "value", json_object_get(told, "value"), "demand",
                  round(offcut->demand * 1000) / 1000, "chance", round(offcut->chance * 10000) / 10000,
                  "keep", (json_int_t)llround(keep), "cost", (json_int_t)llround(cost), "clear", clear);
    if (row == NULL)
        return NULL;
    static const char *const optional[] = {"batch", "place"};
    for (int i = 0; i < 2; i++)
        if (json_is_string(json_object_get(told, optional[i])))
            json_object_set(row, optional[i], json_object_get(told, optional[i]));
    say_why(group, row, offcut, rules, why);
    json_object_set_new(row, "why", json_string(why));
    return row;
}

bool clearing_add(const json_t *group, const struct clearing *rules, json_t *rows, struct fault *fault) {
    struct weighing made = {0};
    const json_t *offcuts = json_object_get(group, "offcuts");
    bool good =
        read_group(group, rules, &made, fault) &&
        clear_out_compute(made.pieces, made.piece_count, made.offcuts, made.offcut_count, &made.rules, fault);
    for (size_t i = 0; good && i < made.offcut_count; i++)
        if (json_array_append_new(rows, row_of(group, json_array_get(offcuts, i), &made.offcuts[i], rules)) !=
            0)
            good = fault_memory(fault);
    free(made.offcuts);
    free(made.pieces);
    return good;
}

struct listed {
    json_t *row;
};

static int least_worth_first(const void *one, const void *other) {
    const json_t *a = ((const struct listed *)one)->row, *b = ((const struct listed *)other)->row;
    bool clear_a = json_is_true(json_object_get(a, "clear")),
         clear_b = json_is_true(json_object_get(b, "clear"));
    double gain_a = number_of(a, "keep") - number_of(a, "cost"),
           gain_b = number_of(b, "keep") - number_of(b, "cost");
    double bar_a = number_of(a, "bar"), bar_b = number_of(b, "bar");
    if (clear_a != clear_b)
        return clear_a ? -1 : 1;
    return gain_a != gain_b ? (gain_a < gain_b ? -1 : 1) : (bar_a > bar_b) - (bar_a < bar_b);
}

json_t *clearing_sorted(const json_t *rows) {
    size_t count = json_array_size(rows);
    struct listed *order = calloc(count + 1, sizeof *order);
    json_t *sorted = json_array();
    if (order == NULL || sorted == NULL) {
        free(order);
        json_decref(sorted);
        return NULL;
    }
    for (size_t i = 0; i < count; i++)
        order[i].row = json_array_get(rows, i);
    qsort(order, count, sizeof *order, least_worth_first);
    for (size_t i = 0; i < count; i++)
        json_array_append(sorted, order[i].row);
    free(order);
    return sorted;
}
