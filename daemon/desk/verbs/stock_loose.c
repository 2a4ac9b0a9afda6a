/* What is set aside and may not be needed. SPDX-License-Identifier: Apache-2.0 */
#include "desk/stock_steps.h"

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    form_open(&form, call->body, "", fault);
    form_integer_or(&form, "days", 0, 10000, 14);
    form_integer_or(&form, "after", 1, INT64_MAX, 1);
    form_integer_or(&form, "limit", 1, 1000, 200);
    return form_close(&form) ? desk_answer_of(call, &query_stock_loose, "reservations", fault) : NULL;
}

const struct desk_verb desk_verb_stock_loose = {
    "stock.loose", ROLE_DESK | ROLE_STORES | ROLE_MANAGER, DESK_READS,
    "What is set aside for orders in which nothing moves: on hold, overdue, idle, or gone.", run};
