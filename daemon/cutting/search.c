/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/search.h"

#include "cutting/bound.h"
#include "cutting/construct.h"
#include "cutting/exact.h"
#include "cutting/small.h"

#include <stdlib.h>

enum { PATTERNS_FEW = 4000 };

void finding_free(struct finding *finding) {
    layout_free(&finding->layout);
    free(finding->certificate.lengths);
    free(finding->certificate.prices);
    finding->certificate = (struct cutting_certificate){0};
}

static bool keep_better(struct layout *best, const struct layout *now, bool first) {
    return !(first || layout_better(now, best)) || layout_copy(best, now);
}

bool search_quick(const struct model *model, int64_t passes, struct watch *watch, struct layout *best) {
    static const struct construct ways[] = {{.rule = CONSTRUCT_LONGEST},
                                            {.rule = CONSTRUCT_LEAST_SLACK, .steps = 2000}};
    int64_t target = bound_round_up(bound_material(model), bound_step(model));
    struct residue residue = {0};
    struct layout now = {0};
    struct layout_part *parts = malloc((2 * model->type_count + 1) * sizeof *parts);
    bool fine = parts != NULL && residue_make(model, &residue);
    for (size_t i = 0; fine && i < sizeof ways / sizeof ways[0]; i++) {
        if (i > 0 && (watch_over(watch, 0) || (best->unmet == 0 && best->cost <= target)))
            break;
        residue_reset(model, &residue);
        layout_reset(&now);
        construct_layout(model, &ways[i], &residue, parts, watch, &now);
        fine = !now.no_memory && keep_better(best, &now, i == 0);
    }
    bool done = best->unmet == 0 && best->cost <= target;
    if (fine && !done && !watch_over(watch, 0)) {
        construct_best_fit(model, &now);
        fine = !now.no_memory && keep_better(best, &now, false);
    }
    free(parts);
    residue_free(&residue);
    layout_free(&now);
    return fine && construct_learning(model, passes, target, watch, best);
}

/* Whether all patterns are so few that they are best looked at together. */
static bool few_patterns(const struct model *model, struct columns *columns, bool *no_memory) {
    return small_enough(model, 0) && columns_all(model, PATTERNS_FEW, PATTERNS_FEW, columns, no_memory) &&
           small_enough(model, columns->count);
}

static bool done(const struct finding *finding, struct watch *watch) {
    return (finding->layout.unmet == 0 && finding->layout.cost <= finding->bound) || watch_over(watch, 0);
}

static bool improve(const struct model *model, struct watch *watch, struct finding *finding,
                    struct fault *fault) {
    struct columns columns = {0};
    bool no_memory = false;
    if (finding->layout.unmet == 0 && few_patterns(model, &columns, &no_memory)) {
        bool fine = exact_small(model, &columns, watch, finding, fault);
        columns_free(&columns);
        if (!fine || done(finding, watch))
            return fine;
    }
    /* Many types or classes make a pass dear, and the relaxation better worth the time. */
    int64_t passes = 30000 / (int64_t)(model->type_count * (model->stock_count + 4) + 1);
    passes = passes > 10 ? 10 : passes < 1 ? 1 : passes;
    if (no_memory || !construct_learning(model, passes, finding->bound, watch, &finding->layout))
        return fault_memory(fault);
    watch_tell(watch, "heuristics", finding->layout.cost, finding->bound, finding->layout.unmet == 0);
    return done(finding, watch) || exact_improve(model, watch, finding, fault);
}

bool search_best(const struct model *model, struct watch *watch, struct finding *finding,
                 struct fault *fault) {
    *finding = (struct finding){.proof = CUTTING_PROOF_MATERIAL};
    finding->bound = bound_round_up(bound_material(model), bound_step(model));
    if (!search_quick(model, 0, watch, &finding->layout)) {
        finding_free(finding);
        return fault_memory(fault);
    }
    watch_tell(watch, "heuristics", finding->layout.cost, finding->bound, finding->layout.unmet == 0);
    if (done(finding, watch) || model->type_count == 0 || improve(model, watch, finding, fault))
        return true;
    finding_free(finding);
    return false;
}
