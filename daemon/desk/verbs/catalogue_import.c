/* A new catalogue, checked as a whole before any of it takes effect. SPDX-License-Identifier: Apache-2.0 */
#include "desk/catalogue_tables.h"
#include "desk/label_stocks.h"
#include "desk/statement.h"
#include "takeoff/catalogue.h"

/* The lengths that tables need, as tenths of a millimetre, out of the catalogue as it was understood. */
static json_t *bars_of(const json_t *document, const struct catalogue *catalogue) {
    json_t *bars = json_array();
    for (size_t i = 0; i < catalogue->system_count; i++) {
        const struct track_system *system = &catalogue->systems[i];
        const json_t *told = json_object_get(json_array_get(json_object_get(document, "systems"), i), "bars");
        for (size_t bar = 0; bar < system->bar_count; bar++)
            json_array_append_new(bars, json_pack("{s:s, s:I, s:I, s:O}", "system", system->code, "length",
                                                  (json_int_t)system->bars[bar].length, "price",
                                                  (json_int_t)system->bars[bar].price, "terms",
                                                  json_array_get(told, bar)));
    }
    return bars;
}

static json_t *tools_of(const struct catalogue *catalogue) {
    json_t *saws = json_array(), *stocks = json_array();
    for (size_t i = 0; i < catalogue->saw_count; i++) {
        const struct saw *saw = &catalogue->saws[i];
        bool bounded = saw->longest_bar > 0 && saw->longest_bar < ELL_LENGTH_MAX;
        json_array_append_new(saws, json_pack("{s:s, s:I, s:I, s:I, s:o}", "code", saw->code, "kerf",
                                              (json_int_t)saw->kerf, "lead_trim", (json_int_t)saw->lead_trim,
                                              "tail_clamp", (json_int_t)saw->tail_clamp, "longest_bar",
                                              bounded ? json_integer(saw->longest_bar) : json_null()));
    }
    for (size_t i = 0; i < catalogue->label_stock_count; i++) {
        const struct label_stock *stock = &catalogue->label_stocks[i];
        json_array_append_new(stocks,
                              json_pack("{s:s, s:I, s:I}", "code", stock->code, "width",
                                        (json_int_t)stock->width, "height", (json_int_t)stock->height));
    }
    return json_pack("{s:o, s:o}", "saws", saws, "label_stocks", stocks);
}

static json_t *ask(struct desk_call *call, const struct query *query, const json_t *document,
                   const json_t *lengths, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, document);
    if (lengths != NULL)
        store_json(&values, lengths);
    return statement_json(call, query, &values, fault);
}

/* Refuses a document that would leave open work without what it needs. */
static bool check_use(struct desk_call *call, const json_t *document, struct fault *fault) {
    json_t *missing = ask(call, &query_catalogue_in_use, document, NULL, fault);
    json_t *unit = missing == NULL ? NULL : ask(call, &query_catalogue_unit_changed, document, NULL, fault);
    bool good = unit != NULL;
    if (good && json_is_string(missing))
        good = fault_set(fault, "in-use", "catalogue", "Still needed, and not in this catalogue: %s.",
                         json_string_value(missing));
    else if (good && json_is_string(unit))
        good = fault_set(
            fault, "unit-changed", "catalogue.parts",
            "Part %s is counted in another unit by its stock or kits; give the new unit a new part.",
            json_string_value(unit));
    json_decref(unit);
    json_decref(missing);
    return good;
}

static bool store_rows_of(struct desk_call *call, const struct query *query, const json_t *document,
                          json_t *lengths, struct fault *fault) {
    json_t *stored = ask(call, query, document, lengths, fault);
    bool good = stored != NULL;
    json_decref(stored);
    json_decref(lengths);
    return good;
}

static json_t *next_version(struct desk_call *call, const json_t *document, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, document);
    store_text(&values, call->key_name);
    return statement_json(call, &query_catalogue_begin, &values, fault);
}

static bool store_catalogue(struct desk_call *call, const json_t *document, const struct catalogue *catalogue,
                            json_t *answer, struct fault *fault) {
    json_t *version = next_version(call, document, fault);
    if (version == NULL)
        return false;
    json_object_set_new(answer, "version", version);
    return store_rows_of(call, &query_catalogue_store_parts, document, NULL, fault) &&
           store_rows_of(call, &query_catalogue_store_systems, document, bars_of(document, catalogue),
                         fault) &&
           store_rows_of(call, &query_catalogue_store_tools, document, tools_of(catalogue), fault) &&
           desk_announce(call, "catalogue.loaded", json_pack("{s:O}", "version", version), fault);
}

static json_t *import(struct desk_call *call, const json_t *document, bool dry_run, struct fault *fault) {
    struct catalogue *catalogue = catalogue_read(document, fault);
    if (catalogue == NULL || !label_stocks_check(document, fault)) {
        catalogue_free(catalogue);
        return NULL;
    }
    json_t *changes =
        check_use(call, document, fault) ? ask(call, &query_catalogue_changes, document, NULL, fault) : NULL;
    json_t *answer =
        changes == NULL ? NULL : json_pack("{s:b, s:O}", "dry_run", (int)dry_run, "changes", changes);
    if (answer != NULL && !dry_run && !store_catalogue(call, document, catalogue, answer, fault)) {
        json_decref(answer);
        answer = NULL;
    }
    json_decref(changes);
    catalogue_free(catalogue);
    return answer;
}

/* Either a whole document, or the one in the store with some of its tables exchanged. */
static json_t *given_document(struct desk_call *call, const json_t *document, const json_t *tables,
                              struct fault *fault) {
    return document != NULL ? json_incref((json_t *)document) : catalogue_with_tables(call, tables, fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    const json_t *given = form_object(&form, "catalogue"), *tables = form_object(&form, "tables");
    bool dry_run = form_boolean_or(&form, "dry_run", false);
    if ((given == NULL) == (tables == NULL))
        form_wrong(&form, "catalogue", "missing-field",
                   "Give the catalogue document, or some of its tables.");
    if (!form_close(&form) || !desk_reason(call, "catalogue loaded", fault))
        return NULL;
    json_t *document = given_document(call, given, tables, fault);
    json_t *answer = document == NULL ? NULL : import(call, document, dry_run, fault);
    json_decref(document);
    return answer;
}

const struct desk_verb desk_verb_catalogue_import = {
    "catalogue.import", ROLE_MANAGER, DESK_CHANGES,
    "Checks a catalogue document as a whole and makes it the workshop's; with dry_run it only says what "
    "would change.",
    run};
