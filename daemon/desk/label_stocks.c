/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/label_stocks.h"

#include "label/stock.h"

#include <stdio.h>

bool label_stocks_check(const json_t *document, struct fault *fault) {
    const json_t *stocks = json_object_get(document, "label_stocks");
    size_t at;
    json_t *item;
    json_array_foreach((json_t *)stocks, at, item) {
        char path[48];
        struct label_stock stock;
        snprintf(path, sizeof path, "label_stocks[%zu]", at);
        if (!label_stock_read(item, path, &stock, fault))
            return false;
    }
    return true;
}
