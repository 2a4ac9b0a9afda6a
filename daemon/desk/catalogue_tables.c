/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/catalogue_tables.h"

#include "desk/statement.h"
#include "takeoff/catalogue.h"

#include <string.h>

enum { BARS_MOST = 20000 };

static json_t *system_of(const json_t *document, const char *code) {
    size_t index;
    json_t *system;
    json_array_foreach(json_object_get(document, "systems"), index, system) {
        if (strcmp(json_string_value(json_object_get(system, "code")), code) == 0)
            return system;
    }
    return NULL;
}

static bool clear_bars(json_t *document, struct fault *fault) {
    size_t index;
    json_t *system;
    json_array_foreach(json_object_get(document, "systems"), index, system) {
        if (json_object_set_new(system, "bars", json_array()) != 0)
            return fault_memory(fault);
    }
    return true;
}

/* Its other fields are checked with the document as a whole. */
static bool add_bar(json_t *document, const json_t *bar, const char *path, struct fault *fault) {
    char code[CATALOGUE_CODE];
    struct form form;
    form_open(&form, bar, path, fault);
    form_text(&form, "system", code, sizeof code);
    form_length(&form, "length", ELL_MM, 100000 * ELL_MM);
    json_t *system = form.failed ? NULL : system_of(document, code);
    if (!form.failed && system == NULL)
        form_wrong(&form, "system", "unknown-system", "The catalogue has no system %s.", code);
    if (form.failed)
        return false;
    json_t *own = json_copy((json_t *)bar);
    json_object_del(own, "system");
    return json_array_append_new(json_object_get(system, "bars"), own) == 0 || fault_memory(fault);
}

static bool exchange_bars(json_t *document, struct form *form, struct fault *fault) {
    char path[128];
    if (!form_has(form, "bars"))
        return true;
    const json_t *bars = form_array(form, "bars", 1, BARS_MOST);
    if (bars == NULL || !clear_bars(document, fault))
        return false;
    for (size_t i = 0; i < json_array_size(bars); i++)
        if (!add_bar(document, json_array_get(bars, i), form_below(form, "bars", (long)i, path), fault))
            return false;
    return true;
}

static bool exchange(json_t *document, const json_t *tables, struct fault *fault) {
    static const char *const names[] = {"finishes", "substrates", "suppliers",   "headings",
                                        "parts",    "saws",       "label_stocks"};
    struct form form;
    form_open(&form, tables, "", fault);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const json_t *rows = form_array(&form, names[i], 0, CATALOGUE_MOST);
        if (rows != NULL && json_object_set(document, names[i], (json_t *)rows) != 0)
            return fault_memory(fault);
    }
    return exchange_bars(document, &form, fault) && form_close(&form);
}

json_t *catalogue_with_tables(struct desk_call *call, const json_t *tables, struct fault *fault) {
    json_t *document = statement_json_for(call, &query_catalogue_export, call->workshop, fault);
    if (document == NULL)
        return NULL;
    if (json_array_size(json_object_get(document, "parts")) == 0)
        fault_set(fault, "no-catalogue", "",
                  "No catalogue is loaded yet, so there are no tables to exchange; import one as JSON.");
    else if (exchange(document, tables, fault))
        return document;
    json_decref(document);
    return NULL;
}
