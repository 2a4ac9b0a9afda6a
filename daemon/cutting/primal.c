/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/primal.h"

#include "cutting/construct.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void engine_offer(struct engine *engine, struct layout *layout) {
    engine->no_memory = engine->no_memory || layout->no_memory;
    if (layout->no_memory)
        return;
    layout_settle(engine->model, layout);
    bool first = engine->best.bar_count == 0 && engine->best.unmet == 0;
    if (!first && !layout_better(layout, &engine->best))
        return;
    if (!layout_copy(&engine->best, layout)) {
        engine->no_memory = true;
        return;
    }
    engine->has_best = layout->unmet == 0;
    if (engine->has_best) {
        engine->target = layout->cost;
        watch_tell(engine->watch, "prices", layout->cost, engine->bound, true);
    }
}

/* Everything that filling up needs, so that several ways can start from the same point. */
struct filling {
    struct engine *engine;
    struct residue start, now;
    struct layout fixed, layout;
    struct layout_part *parts;
    int32_t *order;
    double *ratio;
};

static bool filling_make(struct engine *engine, struct filling *filling) {
    size_t types = engine->model->type_count + 1;
    *filling = (struct filling){.engine = engine};
    filling->parts = malloc(2 * types * sizeof *filling->parts);
    filling->order = malloc(types * sizeof *filling->order);
    filling->ratio = malloc(types * sizeof *filling->ratio);
    bool fine = residue_make(engine->model, &filling->start) & residue_make(engine->model, &filling->now);
    return fine && filling->parts && filling->order && filling->ratio;
}

static void filling_free(struct filling *filling) {
    residue_free(&filling->start);
    residue_free(&filling->now);
    layout_free(&filling->fixed);
    layout_free(&filling->layout);
    free(filling->parts);
    free(filling->order);
    free(filling->ratio);
}

static void residue_copy(const struct model *model, struct residue *to, const struct residue *from) {
    memcpy(to->demand, from->demand, model->type_count * sizeof *to->demand);
    memcpy(to->supply, from->supply, model->stock_count * sizeof *to->supply);
    memcpy(to->next, from->next, (model->type_count + 1) * sizeof *to->next);
    to->places = from->places;
    to->pieces = from->pieces;
}

/* Fixes up to `times` of a pattern. */
static int64_t fix(struct filling *filling, const struct pattern *pattern, int64_t times) {
    const struct engine *engine = filling->engine;
    const struct layout_part *parts = engine->pool.parts + pattern->first;
    int64_t most = residue_times(&filling->start, pattern->stock, parts, pattern->parts);
    if (times > most)
        times = most;
    if (times <= 0)
        return 0;
    layout_add(&filling->fixed, pattern->stock, times, pattern->fill, parts, pattern->parts);
    residue_take(engine->model, &filling->start, pattern->stock, times, pattern->fill, parts, pattern->parts);
    return times;
}

static int by_ratio(const void *left, const void *right, void *data) {
    const double *ratio = data;
    int32_t a = *(const int32_t *)left, b = *(const int32_t *)right;
    return ratio[a] != ratio[b] ? (ratio[a] > ratio[b] ? -1 : 1) : (a > b) - (a < b);
}

static void fill_up(struct filling *filling, const double *prices) {
    static const struct construct ways[] = {{.rule = CONSTRUCT_LONGEST},
                                            {.rule = CONSTRUCT_LEAST_SLACK, .steps = 1000},
                                            {.rule = CONSTRUCT_DEAREST, .steps = 1000}};
    const struct model *model = filling->engine->model;
    for (size_t i = 0; prices != NULL && i < model->type_count; i++) {
        filling->order[i] = (int32_t)i;
        filling->ratio[i] = prices[i] / (double)model->types[i].width;
    }
    if (prices != NULL)
        qsort_r(filling->order, model->type_count, sizeof *filling->order, by_ratio, filling->ratio);
    size_t count = prices != NULL ? 3 : 2;
    for (size_t i = 0; i < count && !filling->engine->no_memory; i++) {
        struct construct how = ways[i];
        how.price = prices;
        how.order = filling->order;
        residue_copy(model, &filling->now, &filling->start);
        if (!layout_copy(&filling->layout, &filling->fixed)) {
            filling->engine->no_memory = true;
            return;
        }
        construct_layout(model, &how, &filling->now, filling->parts, filling->engine->watch,
                         &filling->layout);
        engine_offer(filling->engine, &filling->layout);
        if (filling->start.pieces == 0)
            return;
    }
}

struct share {
    double value;
    int32_t pattern;
};

static int by_share(const void *left, const void *right) {
    const struct share *a = left, *b = right;
    if (a->value != b->value)
        return a->value > b->value ? -1 : 1;
    return (a->pattern > b->pattern) - (a->pattern < b->pattern);
}

static struct share *fractions(const struct relaxed *relaxed) {
    struct share *shares = malloc((relaxed->count + 1) * sizeof *shares);
    for (size_t i = 0; shares != NULL && i < relaxed->count; i++)
        shares[i] =
            (struct share){relaxed->values[i] - floor(relaxed->values[i] + 1e-6), relaxed->patterns[i]};
    if (shares != NULL)
        qsort(shares, relaxed->count, sizeof *shares, by_share);
    return shares;
}

/* The prices of the model's own types, where the scope has no joined ones. */
static const double *own_prices(const struct scope *scope, const struct relaxed *relaxed) {
    return scope != NULL && scope->type_count == scope->model->type_count ? relaxed->prices : NULL;
}

void primal_round(struct engine *engine, const struct scope *scope, const struct relaxed *relaxed) {
    struct filling filling;
    struct share *shares = fractions(relaxed);
    bool fine = filling_make(engine, &filling) && shares != NULL;
    for (size_t i = 0; fine && i < relaxed->count; i++)
        fix(&filling, &engine->pool.patterns[relaxed->patterns[i]],
            (int64_t)floor(relaxed->values[i] + 1e-6));
    static const double levels[] = {0.75, 0.5, 0.3, 0.0};
    size_t at = 0;
    for (size_t level = 0; fine && level < sizeof levels / sizeof levels[0] && !engine->no_memory; level++) {
        if (engine->watch->ended)
            break;
        for (; at < relaxed->count && shares[at].value > levels[level]; at++)
            fix(&filling, &engine->pool.patterns[shares[at].pattern], 1);
        fill_up(&filling, own_prices(scope, relaxed));
    }
    engine->no_memory = engine->no_memory || !fine;
    free(shares);
    filling_free(&filling);
}

bool primal_integral(struct engine *engine, const struct relaxed *relaxed) {
    for (size_t i = 0; i < relaxed->count; i++)
        if (fabs(relaxed->values[i] - round(relaxed->values[i])) > 1e-5)
            return false;
    struct filling filling;
    if (!relaxed->whole || !filling_make(engine, &filling)) {
        engine->no_memory = engine->no_memory || relaxed->whole;
        return false;
    }
    for (size_t i = 0; i < relaxed->count; i++)
        fix(&filling, &engine->pool.patterns[relaxed->patterns[i]], (int64_t)round(relaxed->values[i]));
    /* Patterns that give more than was left to cut are cut in part: they stand last, with what is left. */
    for (size_t i = 0; i < relaxed->count && filling.start.pieces > 0; i++) {
        const struct pattern *pattern = &engine->pool.patterns[relaxed->patterns[i]];
        int64_t fill = 0;
        size_t count = 0;
        for (size_t p = 0; p < pattern->parts; p++) {
            struct layout_part part = engine->pool.parts[pattern->first + p];
            if (filling.start.demand[part.type] < part.count)
                part.count = (int32_t)filling.start.demand[part.type];
            if (part.count == 0)
                continue;
            filling.parts[count++] = part;
            fill += part.count * engine->model->types[part.type].width;
        }
        if (count == 0 || filling.start.supply[pattern->stock] == 0)
            continue;
        layout_add(&filling.fixed, pattern->stock, 1, fill, filling.parts, count);
        residue_take(engine->model, &filling.start, pattern->stock, 1, fill, filling.parts, count);
    }
    fill_up(&filling, NULL);
    filling_free(&filling);
    return true;
}

/* Fixes whole parts; where there are none, the largest fractions. Returns the bars fixed. */
static int64_t fix_some(struct filling *filling, const struct relaxed *relaxed, uint64_t nudge) {
    const struct engine *engine = filling->engine;
    int64_t fixed = 0;
    for (size_t i = 0; i < relaxed->count; i++)
        fixed += fix(filling, &engine->pool.patterns[relaxed->patterns[i]],
                     (int64_t)floor(relaxed->values[i] + 1e-6));
    struct share *shares = fractions(relaxed);
    if (shares == NULL)
        return fixed;
    size_t skip = nudge % 3;
    if (relaxed->count <= skip || shares[skip].value < 0.3)
        skip = 0;
    double level = fixed > 0 ? 0.9 : shares[skip].value < 0.85 ? shares[skip].value : 0.85;
    for (size_t i = skip; i < relaxed->count && shares[i].value >= level; i++) {
        fixed += fix(filling, &engine->pool.patterns[shares[i].pattern], 1);
        if (level < 0.85)
            break;
    }
    for (size_t i = 0; fixed == 0 && i < relaxed->count; i++)
        fixed += fix(filling, &engine->pool.patterns[shares[i].pattern], 1);
    free(shares);
    return fixed;
}

/* The scope of what is not fixed yet. */
static bool rest_scope(struct filling *filling, struct scope *scope) {
    const struct model *model = filling->engine->model;
    if (!scope_make(model, filling->start.demand, filling->start.supply, filling->start.places, NULL, 0,
                    scope))
        return false;
    layout_settle(model, &filling->fixed);
    scope->fixed = filling->fixed.cost;
    scope->waste = engine_waste(filling->engine);
    for (size_t i = 0; scope->waste != INT64_MAX && i < filling->fixed.bar_count; i++) {
        const struct layout_bar *bar = &filling->fixed.bars[i];
        scope->waste -= (model->stocks[bar->stock].capacity - bar->fill) * bar->times;
    }
    return true;
}

void primal_dive(struct engine *engine, const struct relaxed *root, uint64_t nudge) {
    struct filling filling;
    struct relaxed now = {0};
    const struct relaxed *relaxed = root;
    struct cutting_certificate *certificate = engine->certificate;
    engine->certificate = NULL;
    bool fine = filling_make(engine, &filling);
    while (fine && filling.start.pieces > 0 && !watch_over(engine->watch, 1)) {
        struct scope scope;
        struct relaxed next;
        if (fix_some(&filling, relaxed, nudge) == 0)
            break;
        nudge /= 3;
        if (filling.start.pieces == 0 || !rest_scope(&filling, &scope))
            break;
        fine = relax(engine, &scope, relaxed->near, relaxed->near_count, &next);
        int64_t bound = fine ? next.bound : INT64_MAX;
        bool hopeless = bound == INT64_MAX ||
                        (bound != INT64_MIN && engine->has_best && bound + scope.fixed >= engine->target);
        scope_free(&scope);
        relaxed_free(&now);
        now = next;
        relaxed = &now;
        if (hopeless || !now.converged || now.count == 0)
            break;
        fill_up(&filling, now.prices);
    }
    if (fine && filling.fixed.bar_count > 0 && !engine->watch->ended)
        fill_up(&filling, relaxed->prices);
    engine->no_memory = engine->no_memory || !fine;
    engine->certificate = certificate;
    relaxed_free(&now);
    filling_free(&filling);
}
