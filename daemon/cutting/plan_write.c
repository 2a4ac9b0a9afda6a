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

static json_t *write_prices(const struct cutting_certificate *certificate) {
    json_t *prices = json_array();
    bool fine = prices != NULL;
    for (size_t i = 0; fine && i < certificate->count; i++)
        append(
            prices,
            json_pack("[o, I]", document_length(certificate->lengths[i]), (json_int_t)certificate->prices[i]),
            &fine);
    if (fine)
        return prices;
    json_decref(prices);
    return NULL;
}

static json_t *write_certificate(const struct cutting_certificate *certificate) {
    json_t *prices = write_prices(certificate);
    if (prices == NULL)
        return NULL;
    json_t *waste = certificate->waste < 0 ? json_null() : document_length(certificate->waste);
    return json_pack("{s:I, s:I, s:o, s:o}", "scale", (json_int_t)certificate->scale, "place",
                     (json_int_t)certificate->place, "waste", waste, "prices", prices);
}

static bool too_long_to_certify(const struct cutting_problem *problem) {
    for (size_t i = 0; i < problem->bar_count; i++)
        if (problem->bars[i].length + problem->saw.kerf > CUTTING_CERTIFICATE_LONGEST)
            return true;
    return false;
}

/* The certificate belongs to a bound by prices; a bound by search stands above it. */
static bool add_certificate(json_t *document, const struct cutting_problem *problem,
                            const struct cutting_plan *plan) {
    if (plan->proof != CUTTING_PROOF_PRICES || plan->certificate.scale == 0 || too_long_to_certify(problem))
        return true;
    return json_object_set_new(document, "certificate", write_certificate(&plan->certificate)) == 0;
}

static json_t *write_figure(int64_t before, int64_t after, int64_t bound) {
    return json_pack("{s:I, s:I, s:I}", "before", (json_int_t)before, "after", (json_int_t)after, "bound",
                     (json_int_t)bound);
}

static json_t *write_effort(const struct cutting_plan *plan) {
    const struct cutting_effort *before = &plan->before, *after = &plan->after, *least = &plan->least;
    return json_pack("{s:o, s:o, s:o, s:{s:I, s:I}}", "setups",
                     write_figure(before->setups, after->setups, least->setups), "loads",
                     write_figure(before->loads, after->loads, least->loads), "open_kits",
                     write_figure(before->open_kits, after->open_kits, least->open_kits), "returned",
                     "before", (json_int_t)before->returned, "after", (json_int_t)after->returned);
}

static bool add_effort(json_t *document, const struct cutting_plan *plan) {
    if (json_object_set_new(document, "effort", write_effort(plan)) != 0)
        return false;
    const struct cutting_change *change = &plan->change;
    if (plan->has_change &&
        json_object_set_new(document, "change",
                            json_pack("{s:I, s:I, s:I, s:I}", "earlier", (json_int_t)change->earlier,
                                      "possible", (json_int_t)change->possible, "kept",
                                      (json_int_t)change->kept, "bound", (json_int_t)change->bound)) != 0)
        return false;
    return !plan->has_offer ||
           json_object_set_new(document, "offer",
                               json_pack("{s:o, s:I}", "cost", document_length(plan->offer_cost), "setups",
                                         (json_int_t)plan->offer_setups)) == 0;
}

static json_t *write_join(const struct cutting_problem *problem, const struct cutting_join *join,
                          size_t chosen) {
    json_t *names = json_array(), *lengths = json_array();
    bool fine = names != NULL && lengths != NULL;
    for (size_t i = 0; fine && i < join->count; i++) {
        append(names, json_string(problem->pieces[join->pieces[i]].name), &fine);
        append(lengths, document_length(join->lengths[chosen][i]), &fine);
    }
    return json_pack("{s:o, s:o}", "pieces", names, "lengths", lengths);
}

static bool add_joins(json_t *document, const struct cutting_problem *problem,
                      const struct cutting_plan *plan) {
    if (plan->join_count == 0)
        return true;
    json_t *list = json_array();
    bool fine = list != NULL;
    for (size_t i = 0; fine && i < plan->join_count; i++)
        append(list, write_join(problem, &problem->joins[i], plan->joins[i]), &fine);
    return json_object_set_new(document, "joins", list) == 0 && fine;
}

static json_t *write_unmet(const struct cutting_problem *problem, const struct cutting_unmet *left) {
    static const char *const whys[] = {"too-long", "too-short", "no-stock"};
    bool follows =
        left->why == CUTTING_NO_STOCK && left->proof != CUTTING_PROOF_NONE && left->follows != SIZE_MAX;
    bool prices = left->why == CUTTING_NO_STOCK && left->proof == CUTTING_PROOF_PRICES && !follows &&
                  !too_long_to_certify(problem);
    enum cutting_proof proof =
        left->proof == CUTTING_PROOF_PRICES && !prices ? CUTTING_PROOF_SEARCH : left->proof;
    return json_pack("{s:s, s:I, s:s, s:s*, s:s*, s:o*}", "piece", problem->pieces[left->piece].name,
                     "quantity", (json_int_t)left->quantity, "why", whys[left->why], "proof",
                     left->why == CUTTING_NO_STOCK && !follows ? cutting_proof_name(proof) : NULL, "from",
                     follows ? problem->pieces[left->follows].name : NULL, "prices",
                     prices ? write_prices(&left->certificate) : NULL);
}

json_t *cutting_plan_write(const struct cutting_problem *problem, const struct cutting_plan *plan) {
    json_t *runs = json_array(), *unmet = json_array(), *buy = json_array();
    bool fine = runs != NULL && unmet != NULL && buy != NULL;
    for (size_t i = 0; fine && i < plan->run_count; i++)
        append(runs, write_run(problem, plan, &plan->runs[i]), &fine);
    for (size_t i = 0; fine && i < plan->unmet_count; i++)
        append(unmet, write_unmet(problem, &plan->unmet[i]), &fine);
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
    json_t *document = json_pack(
        "{s:o, s:o, s:b, s:b, s:s, s:o, s:o, s:o, s:f}", "cost", document_length(plan->cost), "bound",
        document_length(plan->bound), "proven", plan->proven, "stopped", plan->stopped, "proof",
        cutting_proof_name(plan->proof), "unmet", unmet, "buy", buy, "bars", runs, "ms", plan->ms);
    static const char *const stops[] = {NULL, "time", "work", "memory", "cancel"};
    if (document != NULL && plan->stopped &&
        json_object_set_new(document, "stopped_by", json_string(stops[plan->stopped_by])) != 0) {
        json_decref(document);
        return NULL;
    }
    if (document != NULL && !(add_effort(document, plan) && add_joins(document, problem, plan) &&
                              add_certificate(document, problem, plan))) {
        json_decref(document);
        return NULL;
    }
    return document;
}
