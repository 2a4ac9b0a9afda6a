/* SPDX-License-Identifier: Apache-2.0 */
/* A cutting problem from a file: refused with its place, or solved with a plan that the checker, which shares no code
 * with the optimiser, finds right. */
#include "cutting/cutlist.h"
#include "common/document.h"
#include "cutting/check/plan_check.h"
#include "fuzz.h"

#include <stdio.h>
#include <stdlib.h>

/* Few enough that many inputs are tried; large problems are the benchmarks' business. */
enum { ITEMS_MOST = 12, QUANTITY_MOST = 60 };

static bool small(const json_t *problem, const char *list) {
    const json_t *items = json_object_get(problem, list), *item;
    size_t at;
    json_array_foreach((json_t *)items, at, item) {
        if (json_integer_value(json_object_get(item, "quantity")) > QUANTITY_MOST)
            return false;
    }
    return json_array_size(items) <= ITEMS_MOST;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct fault fault = {0};
    json_t *problem = document_read((const char *)data, size, &document_small, &fault);
    if (!problem)
        return 0;
    struct cutting_options options = cutting_options_default();
    options.clock = NULL;
    options.work = 2000;
    json_t *plan = NULL;
    if (!small(problem, "pieces") || !small(problem, "bars")) {
        json_decref(problem);
        return 0;
    }
    if (!cutlist_run(problem, &options, &plan, &fault)) {
        if (!fault.code[0] || !fault.message[0])
            abort();
    } else if (!plan_check(problem, plan, &fault)) {
        fprintf(stderr, "%s: %s\n", fault.where, fault.message);
        abort();
    }
    json_decref(plan);
    json_decref(problem);
    return 0;
}
