/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/scope.h"

#include <stdlib.h>
#include <string.h>

static void keep_apart(struct scope *scope, int32_t one, int32_t other) {
    scope->apart[(size_t)one * scope->words + (size_t)other / 64] |= (uint64_t)1 << (other % 64);
    scope->apart[(size_t)other * scope->words + (size_t)one / 64] |= (uint64_t)1 << (one % 64);
}

static void join(struct scope *scope, int32_t one, int32_t other, int32_t joined) {
    scope->width[joined] = scope->width[one] + scope->width[other];
    scope->demand[joined] = 1;
    bool same = scope->batch[one] == scope->batch[other] || scope->batch[other] == -1;
    scope->batch[joined] = same ? scope->batch[one] : scope->batch[one] == -1 ? scope->batch[other] : -2;
    scope->demand[one]--;
    scope->demand[other]--;
    if (scope->demand[one] < 0 || scope->demand[other] < 0)
        scope->empty = true;
    if (scope->apart == NULL)
        return;
    for (int32_t i = 0; i < joined; i++)
        if (scope_apart(scope, one, i) || scope_apart(scope, other, i))
            keep_apart(scope, joined, i);
}

static void apply(struct scope *scope, const struct decision *decision, int32_t *joined) {
    switch (decision->kind) {
    case DECIDE_TOGETHER:
        join(scope, decision->one, decision->other, (*joined)++);
        break;
    case DECIDE_APART:
        keep_apart(scope, decision->one, decision->other);
        break;
    case DECIDE_AT_MOST:
        if (scope->most[decision->one] > decision->count)
            scope->most[decision->one] = decision->count;
        break;
    case DECIDE_AT_LEAST:
        if (scope->least[decision->one] < decision->count)
            scope->least[decision->one] = decision->count;
        break;
    }
}

bool scope_make(const struct model *model, const int64_t *demand, const int64_t *supply, int64_t places,
                const struct decision *decisions, size_t decision_count, struct scope *scope) {
    size_t joins = 0, aparts = 0;
    for (size_t i = 0; i < decision_count; i++) {
        joins += decisions[i].kind == DECIDE_TOGETHER;
        aparts += decisions[i].kind == DECIDE_APART;
    }
    *scope = (struct scope){.model = model,
                            .type_count = model->type_count + joins,
                            .places = places,
                            .waste = INT64_MAX,
                            .decisions = decisions,
                            .decision_count = decision_count};
    scope->words = (scope->type_count + 63) / 64;
    scope->width = calloc(scope->type_count + 1, sizeof *scope->width);
    scope->demand = calloc(scope->type_count + 1, sizeof *scope->demand);
    scope->batch = calloc(scope->type_count + 1, sizeof *scope->batch);
    scope->least = calloc(model->stock_count + 1, sizeof *scope->least);
    scope->most = calloc(model->stock_count + 1, sizeof *scope->most);
    if (aparts > 0)
        scope->apart = calloc(scope->type_count * scope->words + 1, sizeof *scope->apart);
    if (scope->width == NULL || scope->demand == NULL || scope->batch == NULL || scope->least == NULL ||
        scope->most == NULL || (aparts > 0 && scope->apart == NULL)) {
        scope_free(scope);
        return false;
    }
    for (size_t i = 0; i < model->type_count; i++) {
        scope->width[i] = model->types[i].width;
        scope->batch[i] = model->types[i].batch;
        scope->demand[i] = demand ? demand[i] : model->types[i].demand;
    }
    for (size_t i = 0; i < model->stock_count; i++) {
        int64_t own = model->stocks[i].supply == CUTTING_UNLIMITED ? INT64_MAX : model->stocks[i].supply;
        scope->most[i] = supply ? supply[i] : own;
    }
    int32_t joined = (int32_t)model->type_count;
    for (size_t i = 0; i < decision_count; i++)
        apply(scope, &decisions[i], &joined);
    for (size_t i = 0; i < model->stock_count; i++)
        scope->empty = scope->empty || scope->least[i] > scope->most[i];
    return true;
}

void scope_free(struct scope *scope) {
    free(scope->width);
    free(scope->demand);
    free(scope->batch);
    free(scope->apart);
    free(scope->least);
    free(scope->most);
    *scope = (struct scope){0};
}

/* Walks the decisions over the counts. False when the pattern holds what must be apart. */
static bool replay(const struct scope *scope, int64_t *counts) {
    size_t joined = scope->model->type_count;
    for (size_t i = 0; i < scope->decision_count; i++) {
        const struct decision *decision = &scope->decisions[i];
        int32_t one = decision->one, other = decision->other;
        bool stock = decision->kind == DECIDE_AT_MOST || decision->kind == DECIDE_AT_LEAST;
        bool both = !stock && counts[one] > 0 && counts[other] > (one == other);
        if (decision->kind == DECIDE_APART && both)
            return false;
        if (decision->kind != DECIDE_TOGETHER)
            continue;
        if (both) {
            counts[one]--;
            counts[other]--;
            counts[joined]++;
        }
        joined++;
    }
    return true;
}

size_t scope_parts(const struct scope *scope, const struct pool *pool, const struct pattern *pattern,
                   int64_t *counts, struct layout_part *parts) {
    memset(counts, 0, scope->type_count * sizeof *counts);
    for (size_t i = 0; i < pattern->parts; i++)
        counts[pool->parts[pattern->first + i].type] = pool->parts[pattern->first + i].count;
    bool fits = replay(scope, counts) && scope->most[pattern->stock] > 0;
    size_t count = 0;
    for (size_t i = 0; fits && i < scope->type_count; i++) {
        if (counts[i] == 0)
            continue;
        if (counts[i] > scope->demand[i] || !scope_allows(scope, (int32_t)i, pattern->stock))
            fits = false;
        for (size_t p = 0; fits && p < count; p++)
            fits = !scope_apart(scope, parts[p].type, (int32_t)i);
        parts[count++] = (struct layout_part){(int32_t)i, (int32_t)counts[i]};
    }
    memset(counts, 0, scope->type_count * sizeof *counts);
    return fits ? count : 0;
}

size_t scope_plain(const struct scope *scope, const struct layout_part *parts, size_t part_count,
                   int64_t *counts, struct layout_part *plain) {
    for (size_t i = 0; i < part_count; i++)
        counts[parts[i].type] = parts[i].count;
    size_t joined = scope->type_count;
    for (size_t i = scope->decision_count; i-- > 0;) {
        const struct decision *decision = &scope->decisions[i];
        if (decision->kind != DECIDE_TOGETHER)
            continue;
        joined--;
        counts[decision->one] += counts[joined];
        counts[decision->other] += counts[joined];
        counts[joined] = 0;
    }
    size_t count = 0;
    for (size_t i = 0; i < scope->model->type_count; i++) {
        if (counts[i] > 0)
            plain[count++] = (struct layout_part){(int32_t)i, (int32_t)counts[i]};
        counts[i] = 0;
    }
    return count;
}
