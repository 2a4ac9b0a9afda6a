/* Sequential value correction: after each pass a type's price moves towards what its bars really cost it.
 * SPDX-License-Identifier: Apache-2.0 */
#include "cutting/construct.h"

#include <math.h>
#include <stdlib.h>

struct lesson {
    const struct model *model;
    double *price;
    int32_t *order;
    double *ratio;
    uint64_t random;
};

static double random_unit(uint64_t *state) {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) * 0x1.0p-53;
}

static int by_ratio(const void *left, const void *right, void *data) {
    const double *ratio = data;
    int32_t a = *(const int32_t *)left, b = *(const int32_t *)right;
    if (ratio[a] != ratio[b])
        return ratio[a] > ratio[b] ? -1 : 1;
    return a < b ? -1 : a > b;
}

static void sort_types(struct lesson *lesson) {
    for (size_t i = 0; i < lesson->model->type_count; i++) {
        lesson->ratio[i] = lesson->price[i] / (double)lesson->model->types[i].width;
        lesson->order[i] = (int32_t)i;
    }
    qsort_r(lesson->order, lesson->model->type_count, sizeof *lesson->order, by_ratio, lesson->ratio);
}

/* Each type on a bar pays for it in proportion to a power of its width; the price follows with some inertia.
 */
static void learn(struct lesson *lesson, const struct layout *layout) {
    const struct model *model = lesson->model;
    double power = 1.01 + 0.2 * random_unit(&lesson->random);
    for (size_t i = 0; i < layout->bar_count; i++) {
        const struct layout_bar *bar = &layout->bars[i];
        const struct model_stock *stock = &model->stocks[bar->stock];
        double net = (double)(stock->cost - (bar->returns ? model_worth(model, stock, bar->fill) : 0));
        double scale = net > 0 ? (double)stock->capacity / (double)bar->fill : 1;
        for (size_t p = 0; p < bar->parts; p++) {
            const struct layout_part *part = &layout->parts[bar->first + p];
            double width = (double)model->types[part->type].width;
            double seen = pow(width, power) * scale;
            double weight = (double)(bar->times * part->count) / (double)model->types[part->type].demand;
            weight *= 0.5 + 0.5 * random_unit(&lesson->random);
            lesson->price[part->type] += weight * (seen - lesson->price[part->type]);
        }
    }
}

static bool lesson_make(const struct model *model, uint64_t seed, struct lesson *lesson) {
    size_t count = model->type_count + 1;
    *lesson = (struct lesson){.model = model,
                              .price = malloc(count * sizeof(double)),
                              .ratio = malloc(count * sizeof(double)),
                              .order = malloc(count * sizeof(int32_t)),
                              .random = seed * 0x9E3779B97F4A7C15u + 0x2545F4914F6CDD1Du};
    if (lesson->random == 0)
        lesson->random = 1;
    return lesson->price != NULL && lesson->ratio != NULL && lesson->order != NULL;
}

static void lesson_free(struct lesson *lesson) {
    free(lesson->price);
    free(lesson->ratio);
    free(lesson->order);
}

bool construct_passes(const struct model *model, int64_t passes, struct watch *watch,
                      bool look(void *data, struct layout *layout), void *data) {
    struct lesson lesson;
    struct residue residue = {0};
    struct layout now = {0};
    struct layout_part *parts = malloc((2 * model->type_count + 1) * sizeof *parts);
    bool fine =
        lesson_make(model, watch->options->seed, &lesson) && parts != NULL && residue_make(model, &residue);
    for (size_t i = 0; fine && i < model->type_count; i++)
        lesson.price[i] = pow((double)model->types[i].width, 1.02);
    for (int64_t pass = 0; fine && pass < passes && !watch_over(watch, 1); pass++) {
        sort_types(&lesson);
        struct construct how = {CONSTRUCT_DEAREST, 300, lesson.price, lesson.order};
        residue_reset(model, &residue);
        layout_reset(&now);
        construct_layout(model, &how, &residue, parts, watch, &now);
        learn(&lesson, &now);
        fine = !now.no_memory;
        if (fine && !look(data, &now))
            break;
    }
    layout_free(&now);
    residue_free(&residue);
    lesson_free(&lesson);
    free(parts);
    return fine;
}

struct keeping {
    struct layout *best;
    int64_t target;
    bool no_memory;
};

static bool keep_better(void *data, struct layout *layout) {
    struct keeping *keeping = data;
    if (layout_better(layout, keeping->best) && !layout_copy(keeping->best, layout))
        keeping->no_memory = true;
    return !keeping->no_memory && !(keeping->best->unmet == 0 && keeping->best->cost <= keeping->target);
}

bool construct_learning(const struct model *model, int64_t passes, int64_t target, struct watch *watch,
                        struct layout *best) {
    struct keeping keeping = {best, target, false};
    if (best->unmet == 0 && best->cost <= target)
        return true;
    return construct_passes(model, passes, watch, keep_better, &keeping) && !keeping.no_memory;
}
