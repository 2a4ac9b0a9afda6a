/* Subset-row cuts of three types. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/program.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CUTS_MOST = 400, TYPES_MOST = 700, KEPT_MOST = 64 };
#define VIOLATED 0.02

struct candidate {
    struct cut cut;
    double excess;
};

struct separation {
    struct program *program;
    double *pairs; /* how much of two types lies on one bar; of one type twice, on the diagonal */
    size_t *used;  /* columns in use */
    size_t used_count;
    struct candidate best[KEPT_MOST];
    size_t best_count, keep;
};

static int32_t share(const struct program *program, const int32_t type[3], size_t column) {
    return (program_holds(program, column, type[0]) + program_holds(program, column, type[1]) +
            program_holds(program, column, type[2])) /
           2;
}

static bool known(const struct program *program, const struct cut *cut) {
    for (size_t i = 0; i < program->cut_count; i++)
        if (memcmp(program->cuts[i].type, cut->type, sizeof cut->type) == 0)
            return true;
    return false;
}

/* Keeps the most violated, in falling order. */
static void consider(struct separation *work, const struct cut *cut) {
    double sum = 0;
    for (size_t i = 0; i < work->used_count; i++)
        sum += work->program->use[work->used[i]] * share(work->program, cut->type, work->used[i]);
    double excess = sum - (double)cut->most;
    if (excess < VIOLATED ||
        (work->best_count == work->keep && excess <= work->best[work->keep - 1].excess) ||
        known(work->program, cut))
        return;
    size_t at = work->best_count < work->keep ? work->best_count++ : work->keep - 1;
    for (; at > 0 && work->best[at - 1].excess < excess; at--)
        work->best[at] = work->best[at - 1];
    work->best[at] = (struct candidate){*cut, excess};
}

/* A pair that lies together in part is in every violated cut; the third type is tried. */
static void separate(struct separation *work) {
    const struct model *model = work->program->engine->model;
    size_t types = work->program->types;
    for (size_t i = 0; i < types; i++)
        for (size_t j = i + 1; j < types; j++) {
            double both = work->pairs[i * types + j];
            if (both < 1e-6)
                continue;
            for (size_t k = 0; k < types; k++) {
                if (k == i || k == j)
                    continue;
                double others = work->pairs[i < k ? i * types + k : k * types + i] +
                                work->pairs[j < k ? j * types + k : k * types + j];
                int64_t odd = model->types[i].demand + model->types[j].demand + model->types[k].demand;
                double twice =
                    work->pairs[i * types + i] + work->pairs[j * types + j] + work->pairs[k * types + k];
                int64_t half = odd / 2; /* rounded down: that is the cut */
                if (odd % 2 == 0 || both + others + twice < (double)half + VIOLATED)
                    continue;
                /* Each triple once: from its first pair that lies together. */
                if (k < j && work->pairs[i < k ? i * types + k : k * types + i] >= 1e-6)
                    continue;
                struct cut cut = {{(int32_t)i, (int32_t)j, (int32_t)k}, odd / 2};
                if (k < i) {
                    cut.type[0] = (int32_t)k;
                    cut.type[1] = (int32_t)i;
                    cut.type[2] = (int32_t)j;
                } else if (k < j) {
                    cut.type[1] = (int32_t)k;
                    cut.type[2] = (int32_t)j;
                }
                consider(work, &cut);
            }
        }
}

static void count_pairs(struct separation *work) {
    struct program *program = work->program;
    for (size_t i = 0; i < program->columns; i++) {
        if (program->use[i] < 1e-6)
            continue;
        work->used[work->used_count++] = i;
        const struct pattern *pattern = program_pattern(program, i);
        const struct layout_part *parts = program->engine->pool.parts + pattern->first;
        for (size_t p = 0; p < pattern->parts; p++)
            for (size_t q = p; q < pattern->parts; q++) {
                double copies = p == q                            ? parts[p].count / 2
                                : parts[p].count < parts[q].count ? parts[p].count
                                                                  : parts[q].count;
                work->pairs[(size_t)parts[p].type * program->types + (size_t)parts[q].type] +=
                    program->use[i] * copies;
            }
    }
}

static bool add_cut(struct program *program, const struct cut *cut) {
    int *columns = malloc((program->columns + 1) * sizeof *columns);
    double *values = malloc((program->columns + 1) * sizeof *values);
    size_t count = 0;
    bool fine = columns != NULL && values != NULL;
    for (size_t i = 0; fine && i < program->columns; i++) {
        int32_t part = program->base[i] > 0 ? share(program, cut->type, i) : 0;
        if (part > 0) {
            columns[count] = (int)(program->dummies + i);
            values[count++] = part;
        }
    }
    if (fine) {
        lp_add_row(program->lp, count, columns, values, -HUGE_VAL, (double)cut->most);
        program->cuts[program->cut_count++] = *cut;
    }
    free(columns);
    free(values);
    return fine;
}

size_t program_cut(struct program *program, size_t most) {
    if (program->types > TYPES_MOST || program->cut_count >= CUTS_MOST)
        return 0;
    struct separation *work = calloc(1, sizeof *work);
    size_t added = 0;
    if (work == NULL)
        return 0;
    work->program = program;
    work->keep = most < KEPT_MOST ? most : KEPT_MOST;
    work->pairs = calloc(program->types * program->types + 1, sizeof *work->pairs);
    work->used = malloc((program->columns + 1) * sizeof *work->used);
    if (work->pairs != NULL && work->used != NULL) {
        count_pairs(work);
        separate(work);
        for (; added < work->best_count && program->cut_count < CUTS_MOST; added++)
            if (!add_cut(program, &work->best[added].cut)) {
                program->engine->no_memory = true;
                break;
            }
    }
    watch_over(program->engine->watch, (int64_t)(program->types * program->types / 4 + program->columns));
    free(work->pairs);
    free(work->used);
    free(work);
    return added;
}
