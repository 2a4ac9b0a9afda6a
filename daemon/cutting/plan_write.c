/* The plan document. SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "cutting/plan.h"

static json_t *write_run(const struct cutting_problem *problem, const struct cutting_plan *plan,
                         const struct cutting_run *run) {
    json_t *names = json_array();
    for (size_t i = 0; i < run->piece_count; i++)
        if (json_array_append_new(names, json_string(problem->pieces[plan->pieces[run->first + i]].name)) !=
            0) {
            json_decref(names);
            return NULL;
        }
    return json_pack("{s:s, s:I, s:o, s:I, s:o, s:o, s:o, s:b}", "bar", problem->bars[run->bar].name, "count",
                     (json_int_t)run->count, "pieces", names, "kerfs", (json_int_t)run->account.cuts,
                     "lead_trim", document_length(run->account.trim), "dust",
                     document_length(run->account.dust), "remainder", document_length(run->account.remainder),
                     "returns", run->returns);
}

static bool append(json_t *list, json_t *item, bool *fine) {
    *fine = item != NULL && json_array_append_new(list, item) == 0 && *fine;
    return *fine;
}

json_t *cutting_plan_write(const struct cutting_problem *problem, const struct cutting_plan *plan) {
    static const char *const whys[] = {"too-long", "too-short", "no-stock"};
    json_t *runs = json_array(), *unmet = json_array(), *buy = json_array();
    bool fine = runs != NULL && unmet != NULL && buy != NULL;
    for (size_t i = 0; fine && i < plan->run_count; i++)
        append(runs, write_run(problem, plan, &plan->runs[i]), &fine);
    for (size_t i = 0; fine && i < plan->unmet_count; i++) {
        const struct cutting_unmet *left = &plan->unmet[i];
        append(unmet,
               json_pack("{s:s, s:I, s:s}", "piece", problem->pieces[left->piece].name, "quantity",
                         (json_int_t)left->quantity, "why", whys[left->why]),
               &fine);
    }
    for (size_t i = 0; fine && i < plan->buy_count; i++)
        append(buy,
               json_pack("{s:s, s:I}", "bar", problem->bars[plan->buy[i].bar].name, "count",
                         (json_int_t)plan->buy[i].count),
               &fine);
    if (!fine) {
        json_decref(runs);
        json_decref(unmet);
        json_decref(buy);
        return NULL;
    }
    return json_pack("{s:o, s:o, s:b, s:b, s:s, s:o, s:o, s:o, s:f}", "cost", document_length(plan->cost),
                     "bound", document_length(plan->bound), "proven", plan->proven, "stopped", plan->stopped,
                     "proof", cutting_proof_name(plan->proof), "unmet", unmet, "buy", buy, "bars", runs, "ms",
                     plan->ms);
}
