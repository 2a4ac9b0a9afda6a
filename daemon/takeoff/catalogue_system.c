/* One track system of the catalogue. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/catalogue_rows.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Every pair of rules is compared, so a system has hundreds of them at most. */
enum { SYSTEM_RULES = 400, SYSTEM_FIXINGS = 2 * CATALOGUE_SMALL };

/* Opens the object field `name`, or marks `form` as failed. */
static bool inner_open(struct form *form, const char *name, struct form *inner) {
    char path[128];
    const json_t *object = form_object(form, name);
    if (form->failed)
        return false;
    form_open(inner, object, form_below(form, name, -1, path), form->fault);
    form->failed = inner->failed;
    return !form->failed;
}

static void inner_close(struct form *form, struct form *inner) {
    form->failed = !form_close(inner);
}

static void allowances_read(struct form *form, struct system_allowances *allowances) {
    struct form inner;
    if (!inner_open(form, "allowances", &inner))
        return;
    allowances->side = rows_length(&inner, "side");
    allowances->above = rows_length(&inner, "above");
    allowances->above_least = form_length(&inner, "above_least", 0, allowances->above);
    allowances->ceiling = rows_length(&inner, "ceiling");
    allowances->recess = rows_length(&inner, "recess");
    allowances->pulley = rows_length(&inner, "pulley");
    allowances->end_part = rows_length(&inner, "end_part");
    allowances->hook_drop = rows_length(&inner, "hook_drop");
    inner_close(form, &inner);
}

static void brackets_read(struct form *form, struct system_brackets *brackets) {
    struct form inner;
    if (!inner_open(form, "brackets", &inner))
        return;
    brackets->spacing_least = form_length(&inner, "spacing_least", 50 * ELL_MM, 5000 * ELL_MM);
    brackets->spacing_most = form_length(&inner, "spacing_most", brackets->spacing_least, 5000 * ELL_MM);
    brackets->end_least = rows_length(&inner, "end_least");
    brackets->end_best = form_length(&inner, "end_best", brackets->end_least, CATALOGUE_LONGEST);
    brackets->end_most = form_length(&inner, "end_most", brackets->end_best, CATALOGUE_LONGEST);
    brackets->bend_least = rows_length(&inner, "bend_least");
    brackets->bend_most = form_length(&inner, "bend_most", brackets->bend_least, CATALOGUE_LONGEST);
    brackets->mark_step = form_length(&inner, "mark_step", 1, 10 * ELL_MM);
    brackets->even_extra = form_integer_or(&inner, "even_extra", 0, 100, 0);
    inner_close(form, &inner);
}

static void joins_read(struct form *form, struct system_joins *joins) {
    struct form inner;
    if (!inner_open(form, "joins", &inner))
        return;
    joins->end_least = rows_length(&inner, "end_least");
    joins->bend_least = rows_length(&inner, "bend_least");
    joins->meeting_least = rows_length(&inner, "meeting_least");
    joins->extra = form_integer_or(&inner, "extra", 0, 100, 0);
    inner_close(form, &inner);
}

static void bends_read(struct form *form, struct system_bends *bends) {
    struct form inner;
    bends->possible = form_has(form, "bends");
    if (!bends->possible || !inner_open(form, "bends", &inner))
        return;
    bends->radius = form_length(&inner, "radius", 10 * ELL_MM, 5000 * ELL_MM);
    bends->angle_least = form_number(&inner, "angle_least", 30, 179);
    bends->angle_most = form_number(&inner, "angle_most", bends->angle_least, 179.9);
    bends->allowance = rows_length(&inner, "allowance");
    bends->straight_least = rows_length(&inner, "straight_least");
    bends->projection = form_length_or(&inner, "projection", 0, 1000 * ELL_MM, 0);
    inner_close(form, &inner);
}

static void profile_read(struct form *form, struct system_profile *profile) {
    struct form inner;
    if (!inner_open(form, "profile", &inner))
        return;
    profile->stiffness = form_number(&inner, "stiffness", 1, CATALOGUE_STRONGEST);
    profile->inertia = form_number(&inner, "inertia", 1, 1e9);
    profile->section = form_number(&inner, "section", 1, 1e9);
    profile->stress_most = form_number(&inner, "stress_most", 0.1, 10000);
    profile->sag_part = form_number(&inner, "sag_part", 10, 10000);
    profile->bracket_most = form_number(&inner, "bracket_most", 1, CATALOGUE_STRONGEST);
    profile->invented = form_boolean_or(&inner, "invented", false);
    inner_close(form, &inner);
}

static void gliders_read(struct form *form, struct system_gliders *gliders) {
    struct form inner;
    if (!inner_open(form, "gliders", &inner))
        return;
    gliders->pitch = form_length(&inner, "pitch", 10 * ELL_MM, 1000 * ELL_MM);
    gliders->spare = form_integer(&inner, "spare", 0, 100);
    gliders->even = form_boolean_or(&inner, "even", true);
    inner_close(form, &inner);
}

static void cord_read(struct form *form, struct track_system *system) {
    struct system_cord *cord = &system->cord;
    struct form inner;
    if (form_has(form, "cord") != system->corded)
        form_wrong(form, "cord", "out-of-range",
                   "A corded system needs \"cord\", and only a corded one may have it.");
    if (!system->corded || !inner_open(form, "cord", &inner))
        return;
    cord->per_track = form_integer(&inner, "per_track", 1, 10);
    cord->per_drop = form_integer(&inner, "per_drop", 1, 10);
    cord->extra = rows_length(&inner, "extra");
    cord->pulley_height = rows_length(&inner, "pulley_height");
    inner_close(form, &inner);
}

/* A list of words or codes as bits; every bit when the field is not there. */
static uint64_t words_read(struct form *form, const char *name, const char *const words[], const void *rows,
                           size_t count, size_t row_bytes) {
    const json_t *array = form_array(form, name, 0, CATALOGUE_SMALL);
    uint64_t bits = 0;
    if (array == NULL)
        return UINT64_MAX;
    for (size_t i = 0; i < json_array_size(array); i++) {
        const char *given = json_string_value(json_array_get(array, i));
        size_t index = SIZE_MAX;
        for (size_t w = 0; words != NULL && given != NULL && words[w] != NULL; w++)
            if (strcmp(words[w], given) == 0)
                index = w;
        if (words == NULL && given != NULL)
            index = rows_find(rows, count, row_bytes, given);
        if (index == SIZE_MAX) {
            form_wrong(form, name, "unknown-choice", "Item %zu of the list (%s) is not known here.", i + 1,
                       given ? given : "no text");
            return 0;
        }
        bits |= (uint64_t)1 << index;
    }
    if (bits == 0)
        form_wrong(form, name, "out-of-range",
                   "An empty list can never hold; leave the field out or name something.");
    return bits;
}

void condition_read(struct form *form, const struct catalogue *catalogue, struct condition *when) {
    struct form inner;
    *when = (struct condition){UINT64_MAX, UINT64_MAX, UINT64_MAX, UINT64_MAX,
                               UINT64_MAX, UINT64_MAX, 0,          ELL_LENGTH_MAX};
    if (!form_has(form, "when") || !inner_open(form, "when", &inner))
        return;
    when->control = words_read(&inner, "control", control_words, NULL, 0, 0);
    when->position = words_read(&inner, "position", position_words, NULL, 0, 0);
    when->place = words_read(&inner, "place", place_words, NULL, 0, 0);
    when->draw = words_read(&inner, "draw", draw_words, NULL, 0, 0);
    when->substrate = words_read(&inner, "substrate", NULL, catalogue->substrates, catalogue->substrate_count,
                                 sizeof *catalogue->substrates);
    when->finish = words_read(&inner, "finish", NULL, catalogue->finishes, catalogue->finish_count,
                              sizeof *catalogue->finishes);
    when->from = form_length_or(&inner, "from", 0, ELL_LENGTH_MAX, 0);
    when->below = form_length_or(&inner, "below", when->from + 1, ELL_LENGTH_MAX, ELL_LENGTH_MAX);
    inner_close(form, &inner);
}

static size_t part_reference(struct form *form, const char *name, const struct catalogue *catalogue) {
    return rows_reference(form, name, catalogue->parts, catalogue->part_count, sizeof *catalogue->parts,
                          "unknown-part");
}

static bool rule_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                      struct rule *rule, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    rule->part = part_reference(&form, "part", catalogue);
    rule->per = (enum rule_per)form_choice(&form, "per", per_words);
    bool by_length = rule->part != SIZE_MAX && catalogue->parts[rule->part].unit == UNIT_LENGTH;
    if (by_length && rule->per != PER_CORD)
        rule->quantity = form_length(&form, "quantity", 1, CATALOGUE_LONGEST);
    else
        rule->quantity = form_integer(&form, "quantity", 1, 1000);
    if (!by_length && rule->per == PER_CORD)
        form_wrong(&form, "per", "out-of-range",
                   "\"cord\" is a length; part \"%s\" is counted. Use \"track\".",
                   rule->part == SIZE_MAX ? "" : catalogue->parts[rule->part].code);
    condition_read(&form, catalogue, &rule->when);
    return form_close(&form);
}

static bool fixing_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                        struct fixing *fixing, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    fixing->substrate = rows_reference(&form, "substrate", catalogue->substrates, catalogue->substrate_count,
                                       sizeof *catalogue->substrates, "unknown-substrate");
    fixing->position = words_read(&form, "position", position_words, NULL, 0, 0);
    fixing->screw = part_reference(&form, "screw", catalogue);
    fixing->plug = form_has(&form, "plug") ? part_reference(&form, "plug", catalogue) : SIZE_MAX;
    fixing->screws = form_integer(&form, "screws", 1, 20);
    fixing->drill = form_number(&form, "drill", 0.5, 50);
    fixing->depth = form_length(&form, "depth", ELL_MM, 500 * ELL_MM);
    fixing->pilot = form_boolean_or(&form, "pilot", false);
    fixing->safe_load = form_number(&form, "safe_load", 1, CATALOGUE_STRONGEST);
    fixing->suits = form_boolean_or(&form, "suits", true);
    fixing->invented = form_boolean_or(&form, "invented", false);
    form_text_or(&form, "note", fixing->note, sizeof fixing->note, "");
    return form_close(&form);
}

static void lists_read(struct form *form, const struct catalogue *catalogue, struct track_system *system) {
    const json_t *array;
    char path[128];
    system->bars = rows_open(form, "bars", 1, 50, sizeof *system->bars, &array, &system->bar_count);
    for (size_t i = 0; i < system->bar_count && !form->failed; i++) {
        struct form bar;
        form_open(&bar, json_array_get(array, i), form_below(form, "bars", (long)i, path), form->fault);
        system->bars[i].length = form_length(&bar, "length", 100 * ELL_MM, CATALOGUE_LONGEST);
        system->bars[i].price = form_integer(&bar, "price", 0, 1000000000);
        form_integer_or(&bar, "pack", 1, CATALOGUE_PACK, 1);
        if (form_has(&bar, "supplier"))
            rows_reference(&bar, "supplier", catalogue->suppliers, catalogue->supplier_count,
                           sizeof *catalogue->suppliers, "unknown-supplier");
        terms_check(&bar);
        form->failed = !form_close(&bar);
    }
    system->rules =
        rows_open(form, "rules", 1, SYSTEM_RULES, sizeof *system->rules, &array, &system->rule_count);
    for (size_t i = 0; i < system->rule_count && !form->failed; i++)
        form->failed = !rule_read(json_array_get(array, i), form_below(form, "rules", (long)i, path),
                                  catalogue, &system->rules[i], form->fault);
    system->fixings =
        rows_open(form, "fixings", 1, SYSTEM_FIXINGS, sizeof *system->fixings, &array, &system->fixing_count);
    for (size_t i = 0; i < system->fixing_count && !form->failed; i++)
        form->failed = !fixing_read(json_array_get(array, i), form_below(form, "fixings", (long)i, path),
                                    catalogue, &system->fixings[i], form->fault);
}

static void wrapped_read(struct form *form, struct track_system *system) {
    char path[128];
    struct form inner;
    if (!form_has(form, "wrapped"))
        return;
    form_open(&inner, form_object(form, "wrapped"), form_below(form, "wrapped", -1, path), form->fault);
    system->wrapped_width = form_length(&inner, "width", ELL_MM, 1000 * ELL_MM);
    system->wrapped_height = form_length(&inner, "height", ELL_MM, 1000 * ELL_MM);
    form->failed = !form_close(&inner);
}

bool system_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                 struct track_system *system, struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    form_text(&form, "code", system->code, sizeof system->code);
    form_text(&form, "name", system->name, sizeof system->name);
    form_text_or(&form, "note", system->note, sizeof system->note, "");
    system->corded = form_boolean_or(&form, "corded", false);
    form_array(&form, "finishes", 1, CATALOGUE_SMALL);
    system->finishes = words_read(&form, "finishes", NULL, catalogue->finishes, catalogue->finish_count,
                                  sizeof *catalogue->finishes);
    system->longest_piece = form_length(&form, "longest_piece", 100 * ELL_MM, CATALOGUE_LONGEST);
    system->shortest_piece = form_length(&form, "shortest_piece", ELL_MM, system->longest_piece);
    system->longest_track = form_length(&form, "longest_track", 100 * ELL_MM, CATALOGUE_LONGEST);
    system->mass = form_number(&form, "mass", 0, 100000);
    wrapped_read(&form, system);
    allowances_read(&form, &system->allowances);
    brackets_read(&form, &system->brackets);
    joins_read(&form, &system->joins);
    bends_read(&form, &system->bends);
    profile_read(&form, &system->profile);
    gliders_read(&form, &system->gliders);
    cord_read(&form, system);
    lists_read(&form, catalogue, system);
    return form_close(&form);
}

void system_free(struct track_system *system) {
    free(system->bars);
    free(system->rules);
    free(system->fixings);
}
