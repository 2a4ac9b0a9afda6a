/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/match_wide.h"

#include <stdlib.h>
#include <string.h>

/* What one batch has. */
struct room {
    int64_t longest; /* capacity of its roomiest bar */
    double sum;      /* of all capacities; HUGE for any number of bars */
};

struct piece {
    int32_t group;
    ell_length length;
};

static int by_group_and_length(const void *left, const void *right) {
    const struct piece *a = left, *b = right;
    if (a->group != b->group)
        return a->group < b->group ? -1 : 1;
    return a->length > b->length ? -1 : a->length < b->length;
}

static struct room *measure(const struct cutting_problem *problem, const struct batches *batches) {
    struct room *rooms = calloc(batches->batch_count + 1, sizeof *rooms);
    for (size_t i = 0; rooms != NULL && i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        struct room *room = &rooms[batches->of_bar[i]];
        int64_t capacity = kerf_capacity(&problem->saw, bar->length, bar->squared);
        if (bar->quantity == 0 || bar->length > problem->saw.longest_bar || capacity <= problem->saw.kerf)
            continue;
        room->sum += (double)capacity * (bar->quantity == CUTTING_UNLIMITED ? 1e15 : (double)bar->quantity);
        room->longest = capacity > room->longest ? capacity : room->longest;
    }
    return rooms;
}

static bool gives(const struct cutting_problem *problem, const struct room *room, const struct piece *pieces,
                  size_t count) {
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        int64_t width = pieces[i].length + problem->saw.kerf;
        if (width > room->longest)
            return false;
        sum += (double)width;
    }
    return sum <= room->sum;
}

static void add_line(struct wide *wide, ell_length length, int64_t quantity, int32_t batch) {
    wide->piece_batch[wide->problem.piece_count] = batch;
    wide->problem.pieces[wide->problem.piece_count++] =
        (struct cutting_piece){.length = length, .quantity = quantity};
}

/* A choice for the group of these pieces, longest first; its lines stand for its types until these are known. */
static bool add_group(const struct cutting_problem *problem, const struct batches *batches,
                      const struct room *rooms, const struct piece *pieces, size_t count, struct wide *wide) {
    size_t at = wide->joins.count++;
    struct join_choice *choice = &wide->joins.choices[at];
    wide->group_of[at] = pieces->group;
    *choice = (struct join_choice){.pieces = count};
    choice->types = calloc(batches->batch_count * count, sizeof *choice->types);
    wide->batch_of[at] = calloc(batches->batch_count, sizeof **wide->batch_of);
    if (choice->types == NULL || wide->batch_of[at] == NULL)
        return false;
    for (size_t b = 0; b < batches->batch_count; b++) {
        if (!gives(problem, &rooms[b], pieces, count))
            continue;
        wide->batch_of[at][choice->count] = (int32_t)b;
        for (size_t p = 0; p < count; p++) {
            choice->types[choice->count * count + p] = (int32_t)wide->problem.piece_count;
            add_line(wide, pieces[p].length, 1, (int32_t)b);
        }
        choice->count++;
    }
    wide->none = wide->none || choice->count == 0;
    return true;
}

static struct piece *list_groups(const struct cutting_problem *problem, const int64_t *wanted,
                                 const struct batches *batches, size_t *count) {
    size_t most = 0;
    *count = 0;
    for (size_t i = 0; i < problem->piece_count; i++)
        most += batches->group_of[i] >= 0 ? (size_t)wanted[i] : 0;
    struct piece *pieces = malloc((most + 1) * sizeof *pieces);
    if (pieces == NULL)
        return NULL;
    for (size_t i = 0; i < problem->piece_count; i++)
        for (int64_t n = 0; batches->group_of[i] >= 0 && n < wanted[i]; n++)
            pieces[(*count)++] = (struct piece){batches->group_of[i], problem->pieces[i].length};
    qsort(pieces, *count, sizeof *pieces, by_group_and_length);
    return pieces;
}

static int32_t type_of(const struct model *model, int64_t width, int32_t batch) {
    size_t low = 0, high = model->type_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const struct model_type *type = &model->types[middle];
        if (type->width > width || (type->width == width && type->batch < batch))
            low = middle + 1;
        else
            high = middle;
    }
    return (int32_t)low;
}

/* From lines to types, and what is wanted whatever is chosen. */
static void name_types(struct wide *wide) {
    struct joins *joins = &wide->joins;
    for (size_t i = 0; i < wide->model.type_count; i++)
        joins->base[i] = wide->model.types[i].batch < 0 ? wide->model.types[i].demand : 0;
    for (size_t g = 0; g < joins->count; g++)
        for (size_t a = 0; a < joins->choices[g].count; a++)
            for (size_t p = 0; p < joins->choices[g].pieces; p++) {
                int32_t *type = &joins->choices[g].types[a * joins->choices[g].pieces + p];
                int32_t line = *type;
                *type = type_of(&wide->model, wide->problem.pieces[line].length + wide->problem.saw.kerf,
                                wide->piece_batch[line]);
            }
}

static bool alike(const struct wide *wide, size_t one, size_t other) {
    const struct join_choice *a = &wide->joins.choices[one], *b = &wide->joins.choices[other];
    return a->pieces == b->pieces && a->count == b->count &&
           memcmp(wide->batch_of[one], wide->batch_of[other], a->count * sizeof(int32_t)) == 0 &&
           (a->count == 0 || memcmp(a->types, b->types, a->pieces * sizeof(int32_t)) == 0);
}

static void find_kinds(struct wide *wide) {
    for (size_t g = 0; g < wide->joins.count; g++) {
        size_t kind = 0;
        while (kind < wide->kind_count && !alike(wide, wide->kinds[kind].first, g))
            kind++;
        if (kind == wide->kind_count)
            wide->kinds[wide->kind_count++] = (struct wide_kind){.first = g};
        wide->kinds[kind].count++;
        wide->kind_of[g] = kind;
    }
}

/* The lines that are free, then those of the groups. */
static bool add_lines(const struct cutting_problem *problem, const int64_t *wanted,
                      const struct batches *batches, const struct piece *pieces, size_t count,
                      struct wide *wide) {
    struct room *rooms = measure(problem, batches);
    bool fine = rooms != NULL;
    for (size_t i = 0; fine && i < problem->piece_count; i++)
        if (batches->group_of[i] < 0 && wanted[i] > 0)
            add_line(wide, problem->pieces[i].length, wanted[i], -1);
    for (size_t i = 0, next; fine && i < count; i = next) {
        for (next = i + 1; next < count && pieces[next].group == pieces[i].group;)
            next++;
        fine = add_group(problem, batches, rooms, pieces + i, next - i, wide);
    }
    free(rooms);
    return fine;
}

static bool allocate(const struct batches *batches, size_t lines, struct wide *wide) {
    size_t groups = batches->group_count + 1;
    wide->problem.pieces = calloc(lines + 1, sizeof *wide->problem.pieces);
    wide->piece_batch = calloc(lines + 1, sizeof *wide->piece_batch);
    wide->joins.choices = calloc(groups, sizeof *wide->joins.choices);
    wide->group_of = calloc(groups, sizeof *wide->group_of);
    wide->batch_of = calloc(groups, sizeof *wide->batch_of);
    wide->kind_of = calloc(groups, sizeof *wide->kind_of);
    wide->kinds = calloc(groups, sizeof *wide->kinds);
    return wide->problem.pieces && wide->piece_batch && wide->joins.choices && wide->group_of &&
           wide->batch_of && wide->kind_of && wide->kinds;
}

bool wide_make(const struct cutting_problem *problem, const int64_t *wanted, const struct batches *batches,
               struct wide *wide, struct fault *fault) {
    size_t count = 0;
    struct piece *pieces = list_groups(problem, wanted, batches, &count);
    *wide = (struct wide){.problem = *problem};
    wide->problem.pieces = NULL;
    wide->problem.piece_count = wide->problem.join_count = wide->problem.previous_count = 0;
    bool fine = pieces != NULL &&
                allocate(batches, problem->piece_count + count * (batches->batch_count + 1), wide) &&
                add_lines(problem, wanted, batches, pieces, count, wide);
    free(pieces);
    if (!fine)
        return fault_memory(fault);
    struct model_wish wish = {NULL, wide->piece_batch, batches->of_bar, false};
    if (!model_make(&wide->problem, &wish, &wide->model, fault))
        return false;
    wide->joins.base = calloc(wide->model.type_count + 1, sizeof *wide->joins.base);
    if (wide->joins.base == NULL)
        return fault_memory(fault);
    name_types(wide);
    find_kinds(wide);
    return true;
}

void wide_free(struct wide *wide) {
    for (size_t g = 0; g < wide->joins.count; g++) {
        free(wide->joins.choices[g].types);
        free(wide->batch_of[g]);
    }
    free(wide->joins.choices);
    free(wide->joins.base);
    free(wide->problem.pieces);
    free(wide->piece_batch);
    free(wide->group_of);
    free(wide->batch_of);
    free(wide->kind_of);
    free(wide->kinds);
    model_free(&wide->model);
    *wide = (struct wide){0};
}
