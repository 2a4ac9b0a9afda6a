/* The problem document, field by field. SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "cutting/problem.h"

#include <stdlib.h>
#include <string.h>

/* A value is a number like a length, never a text with a unit. */
static int64_t read_value(struct form *form, const char *name, int64_t otherwise) {
    int64_t value = otherwise;
    if (form_has(form, name)) {
        double number = form_number(form, name, 0, (double)ELL_LENGTH_MAX / 10);
        if (!form->failed && !ell_length_from_mm(number, &value))
            form_wrong(form, name, "bad-length", "At most one decimal is taken here.");
    }
    return value;
}

static bool read_bar(const json_t *json, const char *path, struct cutting_bar *bar, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "name", bar->name, sizeof bar->name);
    bar->length = form_length(&form, "length", 1, ELL_LENGTH_MAX);
    bar->quantity = form_integer_or(&form, "quantity", 0, CUTTING_QUANTITY_MOST, CUTTING_UNLIMITED);
    bar->value = read_value(&form, "value", bar->length);
    bar->squared = form_boolean_or(&form, "squared", false);
    bar->purchasable = form_boolean_or(&form, "purchasable", bar->quantity != 1);
    bar->age = form_integer_or(&form, "age", 0, 1000000, 0);
    form_text_or(&form, "batch", bar->batch, sizeof bar->batch, "");
    form_text_or(&form, "place", bar->place, sizeof bar->place, "");
    return form_close(&form);
}

static bool read_piece(const json_t *json, const char *path, struct cutting_piece *piece,
                       struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "name", piece->name, sizeof piece->name);
    piece->length = form_length(&form, "length", 1, ELL_LENGTH_MAX);
    piece->quantity = form_integer_or(&form, "quantity", 1, CUTTING_QUANTITY_MOST, 1);
    piece->priority = (int)form_integer_or(&form, "priority", 0, 9, 0);
    form_date_or(&form, "due", piece->due, "");
    form_text_or(&form, "batch_match", piece->batch_match, sizeof piece->batch_match, "");
    form_text_or(&form, "kit", piece->kit, sizeof piece->kit, "");
    return form_close(&form);
}

static bool read_remainder(const json_t *json, struct cutting_remainder *remainder, struct fault *fault) {
    struct form form;
    form_open(&form, json, "remainder", fault);
    remainder->usable = form_length(&form, "usable", 1, ELL_LENGTH_MAX);
    remainder->percent = (int)form_integer_or(&form, "value_percent", 0, 100, 0);
    remainder->places = form_integer_or(&form, "places", 0, CUTTING_QUANTITY_MOST, CUTTING_UNLIMITED);
    return form_close(&form);
}

static bool read_bars(const json_t *list, struct cutting_problem *problem, struct fault *fault) {
    problem->bar_count = json_array_size(list);
    problem->bars = calloc(problem->bar_count + 1, sizeof *problem->bars);
    if (problem->bars == NULL)
        return fault_memory(fault);
    struct form top = {.path = ""};
    for (size_t i = 0; i < problem->bar_count; i++) {
        char path[128];
        if (!read_bar(json_array_get(list, i), form_below(&top, "bars", (long)i, path), &problem->bars[i],
                      fault))
            return false;
    }
    return true;
}

static bool read_pieces(const json_t *list, struct cutting_problem *problem, struct fault *fault) {
    problem->piece_count = json_array_size(list);
    problem->pieces = calloc(problem->piece_count + 1, sizeof *problem->pieces);
    if (problem->pieces == NULL)
        return fault_memory(fault);
    struct form top = {.path = ""};
    for (size_t i = 0; i < problem->piece_count; i++) {
        char path[128];
        if (!read_piece(json_array_get(list, i), form_below(&top, "pieces", (long)i, path),
                        &problem->pieces[i], fault))
            return false;
    }
    return true;
}

static bool read_alternative(const json_t *list, size_t count, ell_length *lengths) {
    if (json_array_size(list) != count)
        return false;
    for (size_t i = 0; i < count; i++) {
        const json_t *number = json_array_get(list, i);
        if (!json_is_number(number) || !ell_length_from_mm(json_number_value(number), &lengths[i]) ||
            lengths[i] < 1)
            return false;
    }
    return true;
}

static bool find_piece(const struct cutting_problem *problem, const char *name, size_t *index) {
    for (*index = 0; name != NULL && *index < problem->piece_count; ++*index)
        if (strcmp(problem->pieces[*index].name, name) == 0)
            return true;
    return false;
}

static bool read_join(const json_t *json, const char *path, const struct cutting_problem *problem,
                      struct cutting_join *join, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    const json_t *pieces = form_array(&form, "pieces", 1, CUTTING_JOIN_PIECES_MOST);
    const json_t *alternatives = form_array(&form, "alternatives", 1, CUTTING_JOIN_ALTERNATIVES_MOST);
    join->count = json_array_size(pieces);
    join->alternatives = json_array_size(alternatives);
    for (size_t i = 0; !form.failed && i < join->count; i++)
        if (!find_piece(problem, json_string_value(json_array_get(pieces, i)), &join->pieces[i]))
            form_wrong(&form, "pieces", "unknown-piece", "Item %zu is the name of no piece.", i);
    for (size_t i = 0; !form.failed && i < join->alternatives; i++)
        if (!read_alternative(json_array_get(alternatives, i), join->count, join->lengths[i]))
            form_wrong(&form, "alternatives", "bad-length",
                       "Item %zu must be %zu lengths, one for each piece.", i, join->count);
    return form_close(&form);
}

static bool read_joins(const json_t *list, struct cutting_problem *problem, struct fault *fault) {
    problem->join_count = json_array_size(list);
    problem->joins = calloc(problem->join_count + 1, sizeof *problem->joins);
    if (problem->joins == NULL)
        return fault_memory(fault);
    struct form top = {.path = ""};
    for (size_t i = 0; i < problem->join_count; i++) {
        char path[128];
        if (!read_join(json_array_get(list, i), form_below(&top, "joins", (long)i, path), problem,
                       &problem->joins[i], fault))
            return false;
    }
    return true;
}

/* Names to numbers, for one lookup after the other. */
static json_t *index_names(const char *first, size_t stride, size_t count) {
    json_t *index = json_object();
    for (size_t i = 0; index != NULL && i < count; i++)
        if (json_object_set_new(index, first + i * stride, json_integer((json_int_t)i)) != 0) {
            json_decref(index);
            return NULL;
        }
    return index;
}

static size_t number_of(const json_t *index, const char *name) {
    const json_t *number = name ? json_object_get(index, name) : NULL;
    return number ? (size_t)json_integer_value(number) : SIZE_MAX;
}

static bool read_earlier(const json_t *json, const char *path, const json_t *bars, const json_t *pieces,
                         struct cutting_problem *problem, size_t *used, struct fault *fault) {
    struct form form;
    char bar[CUTTING_NAME];
    struct cutting_earlier *earlier = &problem->previous[problem->previous_count++];
    form_open(&form, json, path, fault);
    form_text(&form, "bar", bar, sizeof bar);
    earlier->length = form_length_or(&form, "length", 1, ELL_LENGTH_MAX, 0);
    earlier->count = form_integer_or(&form, "count", 1, CUTTING_PREVIOUS_MOST, 1);
    const json_t *names = form_array(&form, "pieces", 1, CUTTING_PER_BAR_MOST);
    if (!form_close(&form))
        return false;
    earlier->bar = number_of(bars, bar);
    earlier->first = *used;
    earlier->piece_count = json_array_size(names);
    uint32_t *more = realloc(problem->previous_pieces, (*used + earlier->piece_count + 1) * sizeof *more);
    if (more == NULL)
        return fault_memory(fault);
    problem->previous_pieces = more;
    for (size_t i = 0; i < earlier->piece_count; i++) {
        size_t number = number_of(pieces, json_string_value(json_array_get(names, i)));
        more[(*used)++] = number == SIZE_MAX ? UINT32_MAX : (uint32_t)number;
    }
    return true;
}

static bool read_previous(const json_t *list, struct cutting_problem *problem, struct fault *fault) {
    if (json_array_size(list) == 0)
        return true;
    json_t *bars = index_names(problem->bars[0].name, sizeof *problem->bars, problem->bar_count);
    json_t *pieces = index_names(problem->pieces[0].name, sizeof *problem->pieces, problem->piece_count);
    problem->previous = calloc(json_array_size(list) + 1, sizeof *problem->previous);
    bool fine = (bars != NULL && pieces != NULL && problem->previous != NULL) || fault_memory(fault);
    struct form top = {.path = ""};
    size_t used = 0;
    int64_t bars_in_all = 0;
    for (size_t i = 0; fine && i < json_array_size(list); i++) {
        char path[128];
        fine = read_earlier(json_array_get(list, i), form_below(&top, "previous", (long)i, path), bars,
                            pieces, problem, &used, fault);
        bars_in_all += fine ? problem->previous[i].count : 0;
        if (fine && bars_in_all > CUTTING_PREVIOUS_MOST)
            fine = fault_set(fault, "out-of-range", "previous",
                             "More than %d earlier bars are not looked at.", CUTTING_PREVIOUS_MOST);
    }
    json_decref(bars);
    json_decref(pieces);
    return fine;
}

static bool read_all(const json_t *json, struct cutting_problem *problem, struct fault *fault) {
    struct form form;
    form_open(&form, json, "", fault);
    problem->saw.kerf = form_length(&form, "kerf", 0, ELL_LENGTH_MAX);
    problem->saw.lead_trim = form_length_or(&form, "lead_trim", 0, ELL_LENGTH_MAX, 0);
    problem->saw.tail_clamp = form_length_or(&form, "tail_clamp", 0, ELL_LENGTH_MAX, 0);
    problem->saw.longest_bar = form_length_or(&form, "longest_bar", 1, ELL_LENGTH_MAX, ELL_LENGTH_MAX);
    problem->saw.shortest_piece = form_length_or(&form, "shortest_piece", 0, ELL_LENGTH_MAX, 0);
    problem->gang = form_integer_or(&form, "gang", 1, CUTTING_GANG_MOST, 1);
    const json_t *remainder = form_object(&form, "remainder");
    const json_t *bars = form_array(&form, "bars", 1, CUTTING_BARS_MOST);
    const json_t *pieces = form_array(&form, "pieces", 1, CUTTING_PIECES_MOST);
    const json_t *joins = form_array(&form, "joins", 0, CUTTING_JOINS_MOST);
    const json_t *previous = form_array(&form, "previous", 0, CUTTING_PREVIOUS_MOST);
    if (!form_close(&form))
        return false;
    if (remainder != NULL && !read_remainder(remainder, &problem->remainder, fault))
        return false;
    return read_bars(bars, problem, fault) && read_pieces(pieces, problem, fault) &&
           read_joins(joins, problem, fault) && read_previous(previous, problem, fault) &&
           cutting_problem_check(problem, fault);
}

bool cutting_problem_read(const json_t *json, struct cutting_problem *problem, struct fault *fault) {
    cutting_problem_clear(problem);
    if (read_all(json, problem, fault))
        return true;
    cutting_problem_free(problem);
    return false;
}
