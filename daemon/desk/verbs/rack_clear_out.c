/* Proposes which offcuts to write off: those that are old and not worth the place they take. SPDX-License-Identifier: Apache-2.0 */
#include "desk/clearing.h"
#include "desk/statement.h"

#include <stdio.h>

struct asked {
    struct clearing rules;
    bool all;
    int64_t after, limit;
};

static bool read_asked(const json_t *body, struct asked *asked, struct fault *fault) {
    struct form form;
    char code[41];
    form_open(&form, body, "", fault);
    form_text_or(&form, "system", code, sizeof code, "");
    form_text_or(&form, "finish", code, sizeof code, "");
    asked->rules.weeks = form_number_or(&form, "weeks", 1, 260, 26);
    asked->rules.age = form_integer_or(&form, "age", 0, 100000, 90);
    asked->rules.place_cost = form_number_or(&form, "place_cost", 0, 1e9, 100);
    asked->all = form_boolean_or(&form, "all", false);
    asked->after = form_integer_or(&form, "after", 0, 1000000, 0);
    asked->limit = form_integer_or(&form, "limit", 1, 1000, 100);
    return form_close(&form);
}

/* The page of the sorted rows, and the sums of those to clear. */
static json_t *answer_of(const json_t *found, const json_t *sorted, const struct asked *asked) {
    json_t *rows = json_array();
    json_int_t clear = 0, value = 0;
    double length = 0;
    size_t index;
    int64_t listed = 0;
    const json_t *row;
    json_array_foreach((json_t *)sorted, index, row) {
        bool goes = json_is_true(json_object_get(row, "clear"));
        clear += goes;
        value += goes ? json_integer_value(json_object_get(row, "value")) : 0;
        length += goes ? json_number_value(json_object_get(row, "length")) : 0;
        if (!goes && !asked->all)
            continue;
        if (listed >= asked->after && listed < asked->after + asked->limit)
            json_array_append(rows, (json_t *)row);
        listed++;
    }
    json_t *next =
        listed > asked->after + asked->limit ? json_integer(asked->after + asked->limit) : json_null();
    return json_pack("{s:o, s:{s:I, s:I, s:o, s:I, s:O, s:O}, s:o}", "rows", rows, "totals", "offcuts",
                     (json_int_t)json_array_size(sorted), "clear", clear, "length",
                     document_length((ell_length)(length * 10 + 0.5)), "value", value, "places",
                     json_object_get(found, "places"), "taken", json_object_get(found, "taken"), "next",
                     next);
}

static json_t *weigh(const json_t *found, const struct asked *asked, struct fault *fault) {
    json_t *rows = json_array(), *answer = NULL;
    const json_t *group;
    size_t index;
    bool good = rows != NULL;
    json_array_foreach(json_object_get(found, "groups"), index, group) {
        good = good && clearing_add(group, &asked->rules, rows, fault);
    }
    json_t *sorted = good ? clearing_sorted(rows) : NULL;
    if (sorted != NULL)
        answer = answer_of(found, sorted, asked);
    if (good && answer == NULL)
        fault_memory(fault);
    json_decref(sorted);
    json_decref(rows);
    return answer;
}

/* Each listed row gets the code on its label. */
static bool add_codes(struct desk_call *call, json_t *answer, struct fault *fault) {
    json_t *rows = json_object_get(answer, "rows"), *ids = json_array(), *row;
    struct store_values values = {0};
    size_t index;
    json_array_foreach(rows, index, row) {
        json_array_append(ids, json_object_get(row, "bar"));
    }
    store_integer(&values, call->workshop);
    store_json(&values, ids);
    json_decref(ids);
    json_t *codes = statement_json(call, &query_rack_codes, &values, fault);
    json_array_foreach(rows, index, row) {
        char id[24];
        snprintf(id, sizeof id, "%lld", (long long)json_integer_value(json_object_get(row, "bar")));
        json_object_set(row, "code", json_object_get(codes, id));
    }
    json_decref(codes);
    return codes != NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct asked asked;
    if (!read_asked(call->body, &asked, fault))
        return NULL;
    json_t *found = desk_read(call, &query_rack_clear_out, "rack", fault);
    json_t *answer = found == NULL ? NULL : weigh(found, &asked, fault);
    json_decref(found);
    if (answer == NULL || add_codes(call, answer, fault))
        return answer;
    json_decref(answer);
    return NULL;
}

const struct desk_verb desk_verb_rack_clear_out = {
    "rack.clear-out", ROLE_SAW | ROLE_MANAGER, DESK_READS,
    "Proposes which offcuts to write off: old ones that are not likely to serve again, by what was cut.",
    run};
