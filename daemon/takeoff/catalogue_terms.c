/* On what terms things are bought. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/catalogue_rows.h"

enum { PRICE_STEPS = 15 };
static const int64_t most = 1000000000;

void terms_check(struct form *form) {
    char path[128];
    int64_t before = 1;
    form_integer_or(form, "least", 1, most, 1);
    const json_t *prices = form_has(form, "prices") ? form_array(form, "prices", 1, PRICE_STEPS) : NULL;
    if (prices != NULL && json_integer_value(json_object_get(form->object, "price")) <= 0)
        form_wrong(form, "prices", "out-of-range", "Prices by quantity go with a \"price\" of one above 0.");
    for (size_t i = 0; i < json_array_size(prices) && !form->failed; i++) {
        struct form step;
        form_open(&step, json_array_get(prices, i), form_below(form, "prices", (long)i, path), form->fault);
        before = form_integer(&step, "from", before + 1, most);
        form_integer(&step, "price", 1, most);
        form->failed = !form_close(&step);
    }
}
