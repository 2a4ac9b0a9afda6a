/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/batches.h"

#include "cutting/search.h"

#include <stdlib.h>
#include <string.h>

/* Batches tried for a group, those with most length first; passes of each question to the heuristics. */
enum { TRIED_MOST = 8, PASSES = 1, ROUNDS = 2 };

struct named {
    const char *name;
    size_t line;
};

static int by_name(const void *left, const void *right) {
    const struct named *a = left, *b = right;
    int order = strcmp(a->name, b->name);
    return order != 0 ? order : (a->line > b->line) - (a->line < b->line);
}

/* Numbers equal names alike, from 0. Lines with an empty name get a number of their own, or -1 when not `alone`. */
static bool number_names(const char *first, size_t stride, size_t count, bool alone, int32_t *numbers,
                         size_t *number_count) {
    struct named *names = malloc((count + 1) * sizeof *names);
    if (names == NULL)
        return false;
    for (size_t i = 0; i < count; i++)
        names[i] = (struct named){first + i * stride, i};
    qsort(names, count, sizeof *names, by_name);
    int32_t next = 0;
    for (size_t i = 0; i < count; i++) {
        bool empty = names[i].name[0] == '\0';
        bool same = i > 0 && !empty && strcmp(names[i].name, names[i - 1].name) == 0;
        if (empty && !alone)
            numbers[names[i].line] = -1;
        else
            numbers[names[i].line] = same ? next - 1 : next++;
    }
    *number_count = (size_t)next;
    free(names);
    return true;
}

/* A group with one piece only matches itself. */
static void drop_single(const int64_t *wanted, size_t piece_count, const struct batches *batches,
                        int64_t *sizes) {
    for (size_t i = 0; i < piece_count; i++)
        if (batches->group_of[i] >= 0)
            sizes[batches->group_of[i]] += wanted[i];
    for (size_t i = 0; i < piece_count; i++)
        if (batches->group_of[i] >= 0 && sizes[batches->group_of[i]] < 2)
            batches->group_of[i] = -1;
}

bool batches_make(const struct cutting_problem *problem, const int64_t *wanted, struct batches *batches) {
    *batches = (struct batches){.piece_count = problem->piece_count};
    size_t pieces = problem->piece_count, bars = problem->bar_count;
    batches->of_bar = calloc(bars + 1, sizeof *batches->of_bar);
    batches->group_of = calloc(pieces + 1, sizeof *batches->group_of);
    batches->of_piece = calloc(pieces + 1, sizeof *batches->of_piece);
    batches->chosen = calloc(pieces + 1, sizeof *batches->chosen);
    batches->kept = calloc(pieces + 1, sizeof *batches->kept);
    int64_t *sizes = calloc(pieces + 1, sizeof *sizes);
    bool fine = batches->of_bar && batches->group_of && batches->of_piece && batches->chosen &&
                batches->kept && sizes;
    fine = fine && (bars == 0 || number_names(problem->bars[0].batch, sizeof *problem->bars, bars, true,
                                              batches->of_bar, &batches->batch_count));
    fine = fine && (pieces == 0 || number_names(problem->pieces[0].batch_match, sizeof *problem->pieces,
                                                pieces, false, batches->group_of, &batches->group_count));
    if (fine)
        drop_single(wanted, pieces, batches, sizes);
    free(sizes);
    return fine;
}

void batches_free(struct batches *batches) {
    free(batches->of_bar);
    free(batches->group_of);
    free(batches->of_piece);
    free(batches->chosen);
    free(batches->kept);
    *batches = (struct batches){0};
}

/* Where the plan cuts each group: the batch of the last piece met, -1 where it is not cut. True when each has one. */
static bool where_cut(const struct batches *batches, const struct cutting_plan *plan, int32_t *seen) {
    bool kept = true;
    for (size_t i = 0; i < batches->group_count; i++)
        seen[i] = -1;
    for (size_t r = 0; r < plan->run_count; r++) {
        const struct cutting_run *run = &plan->runs[r];
        for (size_t p = 0; p < run->piece_count; p++) {
            int32_t group = batches->group_of[plan->pieces[run->first + p]],
                    batch = batches->of_bar[run->bar];
            if (group < 0)
                continue;
            kept = kept && (seen[group] < 0 || seen[group] == batch);
            seen[group] = batch;
        }
    }
    return kept;
}

bool batches_kept(const struct batches *batches, const struct cutting_plan *plan) {
    return where_cut(batches, plan, batches->chosen);
}

struct choosing {
    const struct cutting_problem *problem;
    const int64_t *wanted;
    struct batches *batches;
    struct watch *watch;
    int32_t tried[TRIED_MOST];
    size_t tried_count;
    bool no_memory;
};

struct merit {
    int64_t unmet, cost;
};

static bool better(const struct merit *one, const struct merit *other) {
    return one->unmet != other->unmet ? one->unmet < other->unmet : one->cost < other->cost;
}

void batches_spread(struct batches *batches) {
    for (size_t i = 0; i < batches->piece_count; i++)
        batches->of_piece[i] = batches->group_of[i] < 0 ? -1 : batches->chosen[batches->group_of[i]];
}

void batches_keep(struct batches *batches) {
    memcpy(batches->kept, batches->chosen, batches->piece_count * sizeof *batches->kept);
}

void batches_restore(struct batches *batches) {
    memcpy(batches->chosen, batches->kept, batches->piece_count * sizeof *batches->kept);
    batches_spread(batches);
}

static struct merit ask(struct choosing *choosing) {
    struct model_wish wish = {choosing->wanted, choosing->batches->of_piece, choosing->batches->of_bar,
                              false};
    struct model model;
    struct layout layout = {0};
    struct fault fault;
    struct merit merit = {INT64_MAX, INT64_MAX};
    batches_spread(choosing->batches);
    if (!model_make(choosing->problem, &wish, &model, &fault)) {
        choosing->no_memory = true;
        return merit;
    }
    if (search_quick(&model, PASSES, choosing->watch, &layout))
        merit = (struct merit){layout.unmet, layout.cost};
    else
        choosing->no_memory = true;
    layout_free(&layout);
    model_free(&model);
    return merit;
}

/* The batches with most length, those of unlimited bars first. */
static void richest(struct choosing *choosing) {
    const struct cutting_problem *problem = choosing->problem;
    int64_t *length = calloc(choosing->batches->batch_count + 1, sizeof *length);
    if (length == NULL) {
        choosing->no_memory = true;
        return;
    }
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        int64_t *sum = &length[choosing->batches->of_bar[i]];
        if (bar->length > problem->saw.longest_bar)
            continue;
        *sum += bar->quantity == CUTTING_UNLIMITED ? INT64_MAX / 2 / (int64_t)problem->bar_count
                                                   : bar->quantity * bar->length;
    }
    for (; choosing->tried_count < TRIED_MOST; choosing->tried_count++) {
        size_t most = 0;
        for (size_t i = 1; i < choosing->batches->batch_count; i++)
            if (length[i] > length[most])
                most = i;
        if (length[most] == 0)
            break;
        choosing->tried[choosing->tried_count] = (int32_t)most;
        length[most] = 0;
    }
    free(length);
}

/* All groups from one batch: the best of those tried. */
static struct merit all_from_one(struct choosing *choosing, struct merit best) {
    struct batches *batches = choosing->batches;
    int32_t *kept = malloc((batches->group_count + 1) * sizeof *kept);
    if (kept == NULL) {
        choosing->no_memory = true;
        return best;
    }
    memcpy(kept, batches->chosen, batches->group_count * sizeof *kept);
    for (size_t i = 0; i < choosing->tried_count && !watch_over(choosing->watch, 1); i++) {
        for (size_t group = 0; group < batches->group_count; group++)
            batches->chosen[group] = choosing->tried[i];
        struct merit now = ask(choosing);
        if (better(&now, &best)) {
            best = now;
            memcpy(kept, batches->chosen, batches->group_count * sizeof *kept);
        }
    }
    memcpy(batches->chosen, kept, batches->group_count * sizeof *kept);
    free(kept);
    return best;
}

/* Moves one group at a time to where the whole gets better. */
static void improve(struct choosing *choosing, struct merit best) {
    struct batches *batches = choosing->batches;
    for (int round = 0; round < ROUNDS && !choosing->watch->over; round++) {
        bool moved = false;
        for (size_t group = 0; group < batches->group_count && !choosing->watch->over; group++)
            for (size_t i = 0; i < choosing->tried_count && !watch_over(choosing->watch, 1); i++) {
                int32_t before = batches->chosen[group];
                if (choosing->tried[i] == before)
                    continue;
                batches->chosen[group] = choosing->tried[i];
                struct merit now = ask(choosing);
                if (better(&now, &best)) {
                    best = now;
                    moved = true;
                } else {
                    batches->chosen[group] = before;
                }
            }
        if (!moved)
            break;
    }
}

bool batches_choose(const struct cutting_problem *problem, const int64_t *wanted,
                    const struct cutting_plan *plan, struct watch *watch, struct batches *batches,
                    struct fault *fault) {
    struct choosing choosing = {.problem = problem, .wanted = wanted, .batches = batches, .watch = watch};
    where_cut(batches, plan, batches->chosen);
    richest(&choosing);
    for (size_t i = 0; i < batches->group_count; i++)
        if ((batches->chosen[i] < 0 || watch->ended) && choosing.tried_count > 0)
            batches->chosen[i] = choosing.tried[0];
    if (!watch->ended) {
        struct merit best = ask(&choosing);
        best = all_from_one(&choosing, best);
        improve(&choosing, best);
    }
    batches_spread(batches);
    return !choosing.no_memory || fault_memory(fault);
}
