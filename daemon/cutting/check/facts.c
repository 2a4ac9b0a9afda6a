/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/check/facts.h"

#include <stdlib.h>
#include <string.h>

enum { NAME_MOST = 64, LINES_MOST = 1000000, QUANTITY_MOST = 1000000000, GANG_MOST = 20 };

static int64_t value_of(struct form *form, const char *name, int64_t otherwise) {
    int64_t value = otherwise;
    if (form_has(form, name) && !ell_length_from_mm(form_number(form, name, 0, 1e8), &value))
        form_wrong(form, name, "bad-length", "At most one decimal is taken here.");
    return value;
}

static bool read_bar(const json_t *json, struct fact_bar *bar, struct fault *fault) {
    char text[NAME_MOST];
    struct form form;
    form_open(&form, json, "bars", fault);
    form_text(&form, "name", text, sizeof text);
    bar->name = json_string_value(json_object_get(json, "name"));
    bar->length = form_length(&form, "length", 1, ELL_LENGTH_MAX);
    bar->quantity = form_integer_or(&form, "quantity", 0, QUANTITY_MOST, -1);
    bar->value = value_of(&form, "value", bar->length);
    bar->squared = form_boolean_or(&form, "squared", false);
    form_boolean_or(&form, "purchasable", true);
    form_integer_or(&form, "age", 0, INT64_MAX, 0);
    form_text_or(&form, "batch", text, sizeof text, "");
    bar->batch = json_string_value(json_object_get(json, "batch"));
    form_text_or(&form, "place", text, sizeof text, "");
    return form_close(&form);
}

static bool read_piece(const json_t *json, struct fact_piece *piece, struct fault *fault) {
    char text[NAME_MOST];
    struct form form;
    form_open(&form, json, "pieces", fault);
    form_text(&form, "name", text, sizeof text);
    piece->name = json_string_value(json_object_get(json, "name"));
    piece->length = form_length(&form, "length", 1, ELL_LENGTH_MAX);
    piece->quantity = form_integer_or(&form, "quantity", 1, QUANTITY_MOST, 1);
    piece->priority = form_integer_or(&form, "priority", 0, 9, 0);
    form_date_or(&form, "due", piece->due, "");
    form_text_or(&form, "batch_match", text, sizeof text, "");
    form_text_or(&form, "kit", text, sizeof text, "");
    piece->match = json_string_value(json_object_get(json, "batch_match"));
    piece->kit = json_string_value(json_object_get(json, "kit"));
    if (piece->kit == NULL || piece->kit[0] == '\0')
        piece->kit = piece->match != NULL && piece->match[0] != '\0' ? piece->match : NULL;
    return form_close(&form);
}

static bool read_remainder(const json_t *json, struct facts *facts, struct fault *fault) {
    struct form form;
    form_open(&form, json, "remainder", fault);
    facts->returns_any = true;
    facts->usable = form_length(&form, "usable", 1, ELL_LENGTH_MAX);
    facts->percent = form_integer_or(&form, "value_percent", 0, 100, 0);
    facts->places = form_integer_or(&form, "places", 0, QUANTITY_MOST, -1);
    return form_close(&form);
}

static bool put(json_t *index, const char *name, size_t number, const char *list, struct fault *fault) {
    if (json_object_get(index, name) != NULL)
        return fault_set(fault, "duplicate-name", list, "The name \"%s\" stands twice.", name);
    return json_object_set_new(index, name, json_integer((json_int_t)number)) == 0 || fault_memory(fault);
}

static bool read_lists(const json_t *bars, const json_t *pieces, struct facts *facts, struct fault *fault) {
    facts->bars = calloc(json_array_size(bars) + 1, sizeof *facts->bars);
    facts->pieces = calloc(json_array_size(pieces) + 1, sizeof *facts->pieces);
    facts->bar_index = json_object();
    facts->piece_index = json_object();
    if (facts->bars == NULL || facts->pieces == NULL || facts->bar_index == NULL ||
        facts->piece_index == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < json_array_size(bars); i++, facts->bar_count++)
        if (!read_bar(json_array_get(bars, i), &facts->bars[i], fault) ||
            !put(facts->bar_index, facts->bars[i].name, i, "bars", fault))
            return false;
    for (size_t i = 0; i < json_array_size(pieces); i++, facts->piece_count++)
        if (!read_piece(json_array_get(pieces, i), &facts->pieces[i], fault) ||
            !put(facts->piece_index, facts->pieces[i].name, i, "pieces", fault))
            return false;
    return true;
}

static bool read_lengths(const json_t *list, size_t count, int64_t *lengths) {
    bool fine = json_array_size(list) == count;
    for (size_t i = 0; fine && i < count; i++)
        fine = json_is_number(json_array_get(list, i)) &&
               ell_length_from_mm(json_number_value(json_array_get(list, i)), &lengths[i]) && lengths[i] > 0;
    return fine;
}

static bool read_joins(const json_t *list, struct facts *facts, struct fault *fault) {
    facts->joins = calloc(json_array_size(list) + 1, sizeof *facts->joins);
    if (facts->joins == NULL)
        return fault_memory(fault);
    for (size_t g = 0; g < json_array_size(list); g++, facts->join_count++) {
        struct fact_join *join = &facts->joins[g];
        struct form form;
        form_open(&form, json_array_get(list, g), "joins", fault);
        const json_t *pieces = form_array(&form, "pieces", 1, 8);
        const json_t *alternatives = form_array(&form, "alternatives", 1, 128);
        join->count = json_array_size(pieces);
        join->alternatives = json_array_size(alternatives);
        for (size_t i = 0; !form.failed && i < join->count; i++) {
            const char *name = json_string_value(json_array_get(pieces, i));
            const struct fact_piece *piece = name ? facts_piece(facts, name) : NULL;
            if (piece == NULL || piece->quantity != 1)
                form_wrong(&form, "pieces", "bad-join", "A piece is unknown, or its quantity is not 1.");
            else
                join->pieces[i] = (size_t)(piece - facts->pieces);
        }
        for (size_t a = 0; !form.failed && a < join->alternatives; a++)
            if (!read_lengths(json_array_get(alternatives, a), join->count, join->lengths[a]))
                form_wrong(&form, "alternatives", "bad-length", "Item %zu is no list of lengths.", a);
        if (!form_close(&form))
            return false;
    }
    return true;
}

bool facts_choose(struct facts *facts, const json_t *chosen, struct fault *fault) {
    if (json_array_size(chosen) != facts->join_count)
        return fault_set(fault, "bad-plan", "joins", "Every join of the problem needs one answer.");
    for (size_t g = 0; g < facts->join_count; g++) {
        const struct fact_join *join = &facts->joins[g];
        int64_t lengths[8];
        bool found = false;
        if (!read_lengths(json_object_get(json_array_get(chosen, g), "lengths"), join->count, lengths))
            return fault_set(fault, "bad-plan", "joins", "Answer %zu is no list of lengths.", g);
        for (size_t a = 0; a < join->alternatives; a++)
            found = found || memcmp(join->lengths[a], lengths, join->count * sizeof *lengths) == 0;
        if (!found)
            return fault_set(fault, "bad-plan", "joins", "Answer %zu is none of the alternatives.", g);
        for (size_t i = 0; i < join->count; i++)
            facts->pieces[join->pieces[i]].length = lengths[i];
    }
    return true;
}

/* Least value per length among bars of which there is any number; else the longest bar, the cheapest of
 * these. */
static void find_rate(struct facts *facts) {
    bool any = false;
    for (size_t i = 0; i < facts->bar_count; i++)
        any = any || facts->bars[i].quantity < 0;
    for (size_t i = 0; i < facts->bar_count; i++) {
        const struct fact_bar *bar = &facts->bars[i];
        if (any && bar->quantity >= 0)
            continue;
        bool first = facts->rate_length == 0;
        bool cheaper = (__int128)bar->value * facts->rate_length < (__int128)facts->rate_value * bar->length;
        bool longer = bar->length > facts->rate_length ||
                      (bar->length == facts->rate_length && bar->value < facts->rate_value);
        if (first || (any ? cheaper : longer)) {
            facts->rate_value = bar->value;
            facts->rate_length = bar->length;
        }
    }
}

bool facts_read(const json_t *problem, struct facts *facts, struct fault *fault) {
    *facts = (struct facts){.places = -1};
    struct form form;
    form_open(&form, problem, "", fault);
    facts->kerf = form_length(&form, "kerf", 0, ELL_LENGTH_MAX);
    facts->trim = form_length_or(&form, "lead_trim", 0, ELL_LENGTH_MAX, 0);
    facts->clamp = form_length_or(&form, "tail_clamp", 0, ELL_LENGTH_MAX, 0);
    facts->longest_bar = form_length_or(&form, "longest_bar", 1, ELL_LENGTH_MAX, ELL_LENGTH_MAX);
    facts->shortest_piece = form_length_or(&form, "shortest_piece", 0, ELL_LENGTH_MAX, 0);
    facts->gang = form_integer_or(&form, "gang", 1, GANG_MOST, 1);
    const json_t *remainder = form_object(&form, "remainder");
    const json_t *bars = form_array(&form, "bars", 1, LINES_MOST);
    const json_t *pieces = form_array(&form, "pieces", 1, LINES_MOST);
    const json_t *joins = form_array(&form, "joins", 0, LINES_MOST);
    facts->previous = form_array(&form, "previous", 0, LINES_MOST);
    if (!form_close(&form) || (remainder != NULL && !read_remainder(remainder, facts, fault)) ||
        !read_lists(bars, pieces, facts, fault) || !read_joins(joins, facts, fault)) {
        facts_free(facts);
        return false;
    }
    find_rate(facts);
    return true;
}

void facts_free(struct facts *facts) {
    free(facts->bars);
    free(facts->pieces);
    free(facts->joins);
    json_decref(facts->bar_index);
    json_decref(facts->piece_index);
    *facts = (struct facts){0};
}

struct fact_bar *facts_bar(const struct facts *facts, const char *name) {
    const json_t *number = json_object_get(facts->bar_index, name);
    return number ? &facts->bars[json_integer_value(number)] : NULL;
}

struct fact_piece *facts_piece(const struct facts *facts, const char *name) {
    const json_t *number = json_object_get(facts->piece_index, name);
    return number ? &facts->pieces[json_integer_value(number)] : NULL;
}

int64_t facts_worth(const struct facts *facts, int64_t remainder) {
    if (!facts->returns_any || remainder < facts->usable)
        return 0;
    __int128 worth = (__int128)facts->percent * remainder * facts->rate_value;
    return (int64_t)(worth / ((__int128)100 * facts->rate_length));
}

int64_t facts_longest_piece(const struct facts *facts) {
    int64_t longest = 0;
    for (size_t i = 0; i < facts->bar_count; i++) {
        const struct fact_bar *bar = &facts->bars[i];
        int64_t room = bar->length - (bar->squared ? 0 : facts->trim);
        room -= facts->clamp > 0 ? facts->kerf + facts->clamp : 0;
        if (bar->length <= facts->longest_bar && room > longest)
            longest = room;
    }
    return longest;
}
