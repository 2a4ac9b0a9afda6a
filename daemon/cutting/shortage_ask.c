/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/shortage_ask.h"

#include "cutting/match.h"

#include <stdlib.h>
#include <string.h>

/* The stock for nothing, and the roomiest bar in any number for its length. */
static bool make_question(const struct cutting_problem *problem, struct cutting_problem *question) {
    *question = *problem;
    question->joins = NULL;
    question->join_count = 0;
    question->remainder =
        (struct cutting_remainder){.usable = ELL_LENGTH_MAX + 1, .places = CUTTING_UNLIMITED};
    question->bars = malloc((problem->bar_count + 1) * sizeof *question->bars);
    if (question->bars == NULL)
        return false;
    struct cutting_bar spare = {.quantity = CUTTING_UNLIMITED};
    int64_t most = 0;
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        int64_t capacity = kerf_capacity(&problem->saw, bar->length, bar->squared);
        question->bars[i] = *bar;
        question->bars[i].value = 0;
        if (bar->length > problem->saw.longest_bar || capacity <= most)
            continue;
        most = capacity;
        spare.length = spare.value = bar->length;
        spare.squared = bar->squared;
    }
    if (most > 0)
        question->bars[question->bar_count++] = spare;
    return true;
}

static void read_finding(struct finding *finding, enum answer *answer, enum cutting_proof *proof,
                         struct cutting_certificate *certificate) {
    if (finding->layout.unmet == 0 && finding->layout.cost == 0) {
        *answer = ANSWER_YES;
    } else if (finding->bound > 0) {
        *answer = ANSWER_NO;
        *proof = finding->proof;
        if (*proof == CUTTING_PROOF_PRICES && finding->certificate.waste >= 0)
            *proof = CUTTING_PROOF_SEARCH;
        if (*proof == CUTTING_PROOF_PRICES) {
            *certificate = finding->certificate;
            finding->certificate = (struct cutting_certificate){0};
        }
    }
}

static bool ask_free(const struct cutting_problem *question, const int64_t *demand, struct watch *watch,
                     struct finding *finding, struct fault *fault) {
    struct model model;
    if (!model_make(question, &(struct model_wish){.demand = demand}, &model, fault))
        return false;
    bool fine = search_best(&model, watch, finding, fault);
    model_free(&model);
    return fine;
}

/* The bar without limit is a batch of its own. */
static bool ask_matching(const struct cutting_problem *question, const int64_t *demand, struct watch *watch,
                         struct finding *finding, struct fault *fault) {
    struct batches batches;
    bool fine = batches_make(question, demand, &batches) || fault_memory(fault);
    fine =
        fine && match_best(question, demand, &batches, &(struct cutting_plan){0}, 0, watch, finding, fault);
    batches_free(&batches);
    return fine;
}

bool shortage_ask(const struct cutting_problem *problem, const int64_t *demand, bool matching, int64_t work,
                  struct watch *watch, enum answer *answer, enum cutting_proof *proof,
                  struct cutting_certificate *certificate, struct fault *fault) {
    struct cutting_problem question;
    struct cutting_options options;
    struct watch own;
    struct finding finding;
    *answer = ANSWER_UNKNOWN;
    *proof = CUTTING_PROOF_NONE;
    if (watch_over(watch, 1))
        return true;
    if (!make_question(problem, &question))
        return fault_memory(fault);
    watch_part(watch, work, &options, &own);
    bool fine = matching ? ask_matching(&question, demand, &own, &finding, fault)
                         : ask_free(&question, demand, &own, &finding, fault);
    if (fine) {
        read_finding(&finding, answer, proof, certificate);
        finding_free(&finding);
    }
    watch_end_part(watch, &own);
    free(question.bars);
    return fine;
}
