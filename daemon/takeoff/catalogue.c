/* The catalogue's plain tables. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/catalogue.h"

#include "takeoff/catalogue_rows.h"

#include <stdlib.h>
#include <string.h>

enum { PART_NEEDS = 16 };

const char *const control_words[] = {"hand", "cord-left", "cord-right", NULL};
const char *const position_words[] = {"face", "top", NULL};
const char *const place_words[] = {"outside", "inside", NULL};
const char *const draw_words[] = {"pair", "left", "right", NULL};
const char *const unit_words[] = {"each", "length", NULL};
const char *const role_words[] = {
    "base-bracket",   "mounting-bracket",     "joining-bracket", "connector", "glider", "lead-glider",
    "overlap-arm",    "overlap-screw",        "overlap-washer",  "end-stop",  "pulley", "cord",
    "tension-pulley", "tension-pulley-screw", "screw",           "plug",      "other",  NULL};
const char *const per_words[] = {"track", "piece",   "end",  "join",   "mark", "bracket",
                                 "metre", "curtain", "bend", "glider", "cord", NULL};
void *rows_open(struct form *form, const char *name, size_t least, size_t most, size_t row_bytes,
                const json_t **array, size_t *count) {
    *array = form_array(form, name, least, most);
    *count = 0;
    if (*array == NULL || json_array_size(*array) == 0)
        return NULL;
    void *rows = calloc(json_array_size(*array), row_bytes);
    if (rows == NULL)
        form_wrong(form, name, "out-of-memory", "There is not enough memory for this table.");
    else
        *count = json_array_size(*array);
    return rows;
}

size_t rows_find(const void *rows, size_t count, size_t row_bytes, const char *code) {
    for (size_t i = 0; i < count; i++)
        if (strcmp((const char *)rows + i * row_bytes, code) == 0)
            return i;
    return SIZE_MAX;
}

size_t rows_reference(struct form *form, const char *name, const void *rows, size_t count, size_t row_bytes,
                      const char *code) {
    char given[CATALOGUE_CODE];
    form_text(form, name, given, sizeof given);
    if (form->failed)
        return SIZE_MAX;
    size_t index = rows_find(rows, count, row_bytes, given);
    if (index == SIZE_MAX)
        form_wrong(form, name, code,
                   "The catalogue has no \"%s\" in that table; add it or name one that is there.", given);
    return index;
}

ell_length rows_length(struct form *form, const char *name) {
    return form_length(form, name, 0, CATALOGUE_LONGEST);
}

typedef bool row_reader(const json_t *json, const char *path, const struct catalogue *catalogue, void *row,
                        struct fault *fault);

/* One table: every row by `read`, then its codes must differ. */
static bool table_read(struct form *form, const char *name, size_t least, size_t most, size_t row_bytes,
                       row_reader *read, const struct catalogue *catalogue, void *rows_out,
                       size_t *count_out) {
    const json_t *array;
    size_t count;
    char *rows = rows_open(form, name, least, most, row_bytes, &array, &count);
    memcpy(rows_out, &rows, sizeof rows);
    *count_out = count;
    for (size_t i = 0; i < count && !form->failed; i++) {
        char path[128];
        form_below(form, name, (long)i, path);
        if (!read(json_array_get(array, i), path, catalogue, rows + i * row_bytes, form->fault)) {
            form->failed = true;
        } else if (rows_find(rows, i, row_bytes, rows + i * row_bytes) != SIZE_MAX) {
            form->failed = true;
            fault_set(form->fault, "twice-named", path,
                      "The code \"%s\" is in this table twice; take one out.", rows + i * row_bytes);
        }
    }
    return !form->failed;
}

static void code_and_name(struct form *form, char code[CATALOGUE_CODE], char name[CATALOGUE_NAME]) {
    form_text(form, "code", code, CATALOGUE_CODE);
    form_text(form, "name", name, CATALOGUE_NAME);
}

static bool finish_read(const json_t *json, const char *path, const struct catalogue *catalogue, void *row,
                        struct fault *fault) {
    struct named *finish = row;
    struct form form;
    (void)catalogue;
    form_open(&form, json, path, fault);
    code_and_name(&form, finish->code, finish->name);
    return form_close(&form);
}

static bool substrate_read(const json_t *json, const char *path, const struct catalogue *catalogue, void *row,
                           struct fault *fault) {
    struct substrate *substrate = row;
    struct form form;
    (void)catalogue;
    form_open(&form, json, path, fault);
    code_and_name(&form, substrate->code, substrate->name);
    substrate->batten = form_boolean_or(&form, "batten", false);
    form_text_or(&form, "judge", substrate->judge, sizeof substrate->judge, "");
    return form_close(&form);
}

static bool supplier_read(const json_t *json, const char *path, const struct catalogue *catalogue, void *row,
                          struct fault *fault) {
    struct supplier *supplier = row;
    struct form form;
    (void)catalogue;
    form_open(&form, json, path, fault);
    code_and_name(&form, supplier->code, supplier->name);
    supplier->lead_days = form_integer(&form, "lead_days", 0, 1000);
    supplier->least_order = form_integer_or(&form, "least_order", 0, 1000000000000, 0);
    return form_close(&form);
}

static bool heading_read(const json_t *json, const char *path, const struct catalogue *catalogue, void *row,
                         struct fault *fault) {
    struct heading *heading = row;
    struct form form;
    (void)catalogue;
    form_open(&form, json, path, fault);
    code_and_name(&form, heading->code, heading->name);
    heading->fold_depth = form_length(&form, "fold_depth", ELL_MM, 1000 * ELL_MM);
    heading->packing = form_number(&form, "packing", 0.1, 100);
    heading->hook_pitch = form_length(&form, "hook_pitch", 10 * ELL_MM, 1000 * ELL_MM);
    heading->allowance = rows_length(&form, "allowance");
    return form_close(&form);
}

/* What each part needs, and what may stand in for it, is resolved afterwards: it may stand below. */
static bool part_read(const json_t *json, const char *path, const struct catalogue *catalogue, void *row,
                      struct fault *fault) {
    struct part *part = row;
    struct form form;
    form_open(&form, json, path, fault);
    code_and_name(&form, part->code, part->name);
    part->unit = (enum part_unit)form_choice(&form, "unit", unit_words);
    part->role = (enum part_role)form_choice(&form, "role", role_words);
    part->price = form_integer_or(&form, "price", 0, 1000000000, 0);
    part->rating = form_number_or(&form, "rating", 0, CATALOGUE_STRONGEST, 0);
    part->invented = form_boolean_or(&form, "invented", false);
    part->mass = form_number_or(&form, "mass", 0, 100000, 0);
    part->bulk = form_number_or(&form, "bulk", 0, 100000, 0);
    part->batch_match = form_boolean_or(&form, "batch_match", false);
    if (form_has(&form, "supplier")) {
        size_t supplier = rows_reference(&form, "supplier", catalogue->suppliers, catalogue->supplier_count,
                                         sizeof *catalogue->suppliers, "unknown-supplier");
        if (supplier != SIZE_MAX)
            memcpy(part->supplier, catalogue->suppliers[supplier].code, CATALOGUE_CODE);
    }
    part->pack = form_integer_or(&form, "pack", 1, CATALOGUE_PACK, 1);
    if (part->unit == UNIT_LENGTH && form_has(&form, "pack"))
        form_wrong(&form, "pack", "out-of-range",
                   "Boxes are of parts that are counted; this one is by length: say how long a \"reel\" is.");
    form_integer_or(&form, "reel", CATALOGUE_REEL_LEAST, CATALOGUE_REEL_MOST, CATALOGUE_REEL_MOST);
    if (part->unit == UNIT_EACH && form_has(&form, "reel"))
        form_wrong(&form, "reel", "out-of-range",
                   "Reels are of parts by length; this one is counted: say how many are in a \"pack\".");
    terms_check(&form);
    form_array(&form, "needs", 0, PART_NEEDS);
    form_has(&form, "substitutes");
    return form_close(&form);
}

static bool needs_read(const json_t *parts, struct catalogue *catalogue, struct fault *fault) {
    for (size_t i = 0; i < catalogue->part_count; i++) {
        struct part *part = &catalogue->parts[i];
        char path[128];
        struct form form, whole = {.path = "", .fault = fault};
        const json_t *array;
        form_open(&form, json_array_get(parts, i), form_below(&whole, "parts", (long)i, path), fault);
        part->needs =
            rows_open(&form, "needs", 0, PART_NEEDS, sizeof *part->needs, &array, &part->need_count);
        for (size_t n = 0; n < part->need_count && !form.failed; n++) {
            struct form need;
            form_open(&need, json_array_get(array, n), form_below(&form, "needs", (long)n, path), fault);
            part->needs[n].part = rows_reference(&need, "part", catalogue->parts, catalogue->part_count,
                                                 sizeof *catalogue->parts, "unknown-part");
            part->needs[n].quantity = form_integer(&need, "quantity", 1, 100);
            form.failed = !form_close(&need);
        }
        if (form.failed)
            return false;
    }
    return true;
}

static bool saw_read(const json_t *json, const char *path, const struct catalogue *catalogue, void *row,
                     struct fault *fault) {
    struct saw *saw = row;
    struct form form;
    (void)catalogue;
    form_open(&form, json, path, fault);
    code_and_name(&form, saw->code, saw->name);
    saw->kerf = form_length(&form, "kerf", 0, 50 * ELL_MM);
    saw->lead_trim = rows_length(&form, "lead_trim");
    saw->tail_clamp = rows_length(&form, "tail_clamp");
    saw->longest_bar = form_length(&form, "longest_bar", ELL_MM, CATALOGUE_LONGEST);
    saw->shortest_piece = rows_length(&form, "shortest_piece");
    saw->gang = form_integer_or(&form, "gang", 1, 20, 1);
    return form_close(&form);
}

static bool label_stock_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                             void *row, struct fault *fault) {
    struct label_stock *stock = row;
    struct form form;
    (void)catalogue;
    form_open(&form, json, path, fault);
    code_and_name(&form, stock->code, stock->name);
    stock->width = form_length(&form, "width", 5 * ELL_MM, 2000 * ELL_MM);
    stock->height = form_length(&form, "height", 5 * ELL_MM, 2000 * ELL_MM);
    /* The label room reads the rest. */
    form_integer_or(&form, "dots_per_inch", 100, 2400, 0);
    form_object(&form, "sheet");
    return form_close(&form);
}

static bool system_row_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                            void *row, struct fault *fault) {
    return system_read(json, path, catalogue, row, fault);
}

static bool carrier_row_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                             void *row, struct fault *fault) {
    (void)catalogue;
    return carrier_read(json, path, row, fault);
}

static void span_read(struct form *form, const char *name, struct span *span) {
    char path[128];
    const json_t *object = form_object(form, name);
    struct form inner;
    if (form->failed)
        return;
    form_open(&inner, object, form_below(form, name, -1, path), form->fault);
    span->least = rows_length(&inner, "least");
    span->most = form_length(&inner, "most", span->least, CATALOGUE_LONGEST);
    form->failed = !form_close(&inner);
}

static void service_read(struct form *form, double service[3]) {
    static const char *const classes[] = {"A", "B", "C"};
    char path[128];
    struct form inner;
    if (!form_has(form, "service"))
        return;
    const json_t *object = form_object(form, "service");
    if (form->failed)
        return;
    form_open(&inner, object, form_below(form, "service", -1, path), form->fault);
    for (int i = 0; i < 3; i++)
        service[i] = form_number(&inner, classes[i], 0.5, 0.9999);
    form->failed = !form_close(&inner);
}

static bool practice_read(struct form *whole, struct practice *practice) {
    const json_t *object = form_object(whole, "practice");
    struct form form;
    if (whole->failed)
        return false;
    form_open(&form, object, "practice", whole->fault);
    span_read(&form, "width", &practice->width);
    span_read(&form, "height", &practice->height);
    span_read(&form, "drop", &practice->drop);
    practice->room = (struct span){0, ELL_LENGTH_MAX};
    if (form_has(&form, "room"))
        span_read(&form, "room", &practice->room);
    practice->recess_spread = rows_length(&form, "recess_spread");
    practice->two_person_from = rows_length(&form, "two_person_from");
    practice->ladder_from = rows_length(&form, "ladder_from");
    practice->child_height = rows_length(&form, "child_height");
    practice->cord_reach = rows_length(&form, "cord_reach");
    practice->cloth_width = form_length(&form, "cloth_width", 100 * ELL_MM, 10000 * ELL_MM);
    practice->side_hem = form_length(&form, "side_hem", 0, 500 * ELL_MM);
    practice->cloth_thickness = form_length(&form, "cloth_thickness", 1, 50 * ELL_MM);
    practice->heater_gap = rows_length(&form, "heater_gap");
    practice->overlap = form_length_or(&form, "overlap", 0, 500 * ELL_MM, 0);
    practice->hem = form_length_or(&form, "hem", 0, 1000 * ELL_MM, 0);
    service_read(&form, practice->service);
    whole->failed = !form_close(&form);
    return !whole->failed;
}

/* The tables in the order in which they refer to each other. */
static bool tables_read(struct form *form, struct catalogue *it) {
    const json_t *parts = json_object_get(form->object, "parts");
    return table_read(form, "finishes", 1, CATALOGUE_SMALL, sizeof *it->finishes, finish_read, it,
                      &it->finishes, &it->finish_count) &&
           table_read(form, "substrates", 1, CATALOGUE_SMALL, sizeof *it->substrates, substrate_read, it,
                      &it->substrates, &it->substrate_count) &&
           table_read(form, "suppliers", 0, CATALOGUE_MOST, sizeof *it->suppliers, supplier_read, it,
                      &it->suppliers, &it->supplier_count) &&
           table_read(form, "headings", 1, CATALOGUE_MOST, sizeof *it->headings, heading_read, it,
                      &it->headings, &it->heading_count) &&
           table_read(form, "parts", 1, CATALOGUE_MOST, sizeof *it->parts, part_read, it, &it->parts,
                      &it->part_count) &&
           needs_read(parts, it, form->fault) && substitutes_read(parts, it, form->fault) &&
           table_read(form, "systems", 1, CATALOGUE_MOST, sizeof *it->systems, system_row_read, it,
                      &it->systems, &it->system_count) &&
           table_read(form, "carriers", 0, CATALOGUE_SMALL, sizeof *it->carriers, carrier_row_read, it,
                      &it->carriers, &it->carrier_count) &&
           table_read(form, "saws", 0, CATALOGUE_MOST, sizeof *it->saws, saw_read, it, &it->saws,
                      &it->saw_count) &&
           table_read(form, "label_stocks", 0, CATALOGUE_MOST, sizeof *it->label_stocks, label_stock_read, it,
                      &it->label_stocks, &it->label_stock_count) &&
           practice_read(form, &it->practice);
}

struct catalogue *catalogue_read(const json_t *json, struct fault *fault) {
    struct catalogue *catalogue = calloc(1, sizeof *catalogue);
    if (catalogue == NULL) {
        fault_memory(fault);
        return NULL;
    }
    struct form form;
    form_open(&form, json, "", fault);
    form_text_or(&form, "note", catalogue->note, sizeof catalogue->note, "");
    if (tables_read(&form, catalogue) && form_close(&form) && catalogue_check(catalogue, fault))
        return catalogue;
    catalogue_free(catalogue);
    return NULL;
}

void catalogue_free(struct catalogue *catalogue) {
    if (catalogue == NULL)
        return;
    for (size_t i = 0; i < catalogue->part_count; i++) {
        free(catalogue->parts[i].needs);
        free(catalogue->parts[i].substitutes);
    }
    for (size_t i = 0; i < catalogue->system_count; i++)
        system_free(&catalogue->systems[i]);
    free(catalogue->finishes);
    free(catalogue->substrates);
    free(catalogue->suppliers);
    free(catalogue->headings);
    free(catalogue->parts);
    free(catalogue->systems);
    for (size_t i = 0; i < catalogue->carrier_count; i++)
        carrier_free(&catalogue->carriers[i]);
    free(catalogue->carriers);
    free(catalogue->saws);
    free(catalogue->label_stocks);
    free(catalogue);
}

const struct track_system *catalogue_system(const struct catalogue *catalogue, const char *code) {
    size_t i = rows_find(catalogue->systems, catalogue->system_count, sizeof *catalogue->systems, code);
    return i == SIZE_MAX ? NULL : &catalogue->systems[i];
}

const struct heading *catalogue_heading(const struct catalogue *catalogue, const char *code) {
    size_t i = rows_find(catalogue->headings, catalogue->heading_count, sizeof *catalogue->headings, code);
    return i == SIZE_MAX ? NULL : &catalogue->headings[i];
}

size_t catalogue_finish(const struct catalogue *catalogue, const char *code) {
    return rows_find(catalogue->finishes, catalogue->finish_count, sizeof *catalogue->finishes, code);
}

size_t catalogue_substrate(const struct catalogue *catalogue, const char *code) {
    return rows_find(catalogue->substrates, catalogue->substrate_count, sizeof *catalogue->substrates, code);
}

size_t catalogue_part(const struct catalogue *catalogue, const char *code) {
    return rows_find(catalogue->parts, catalogue->part_count, sizeof *catalogue->parts, code);
}
