/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/sequence.h"

#include "cutting/blocks.h"
#include "cutting/model.h"

#include <stdlib.h>
#include <string.h>

struct kit_piece {
    const char *kit;
    size_t run;
};

/* Kits as lists of runs: those of kit k are runs[first[k] .. first[k + 1]), rising, each once. */
struct kits {
    size_t count;
    size_t *first, *runs;
    size_t run_count;
    size_t *from, *of_run; /* and the other way: kits of run r are of_run[from[r] .. from[r + 1]) */
    size_t *block;         /* of each run: those of one block stand together */
    size_t block_count;
    size_t *order;    /* the sequence found */
    size_t *position; /* of each run in some order */
    size_t *urgency;  /* rank of each run, 0 first */
    int64_t *change;  /* scratch of most_open */
};

static int by_kit(const void *left, const void *right) {
    const struct kit_piece *a = left, *b = right;
    int order = strcmp(a->kit, b->kit);
    return order != 0 ? order : (a->run > b->run) - (a->run < b->run);
}

static const char *kit_of(const struct cutting_piece *piece) {
    return piece->kit[0] != '\0' ? piece->kit : piece->batch_match;
}

static void turn_round(struct kits *kits) {
    for (size_t i = 0; i < kits->first[kits->count]; i++)
        kits->from[kits->runs[i] + 2]++;
    for (size_t r = 1; r <= kits->run_count; r++)
        kits->from[r + 1] += kits->from[r];
    for (size_t k = 0; k < kits->count; k++)
        for (size_t i = kits->first[k]; i < kits->first[k + 1]; i++)
            kits->of_run[kits->from[kits->runs[i] + 1]++] = k;
}

static bool gather(const struct cutting_problem *problem, const struct cutting_plan *plan,
                   struct kits *kits) {
    size_t pieces = plan->piece_count, runs = plan->run_count, count = 0;
    struct kit_piece *list = malloc((pieces + 1) * sizeof *list);
    kits->run_count = runs;
    kits->first = calloc(pieces + 2, sizeof *kits->first);
    kits->runs = calloc(pieces + 1, sizeof *kits->runs);
    kits->from = calloc(runs + 3, sizeof *kits->from);
    kits->of_run = calloc(pieces + 1, sizeof *kits->of_run);
    kits->change = calloc(runs + 2, sizeof *kits->change);
    kits->order = calloc(runs + 1, sizeof *kits->order);
    kits->block = calloc(runs + 1, sizeof *kits->block);
    kits->position = calloc(runs + 1, sizeof *kits->position);
    kits->urgency = calloc(runs + 1, sizeof *kits->urgency);
    if (!list || !kits->first || !kits->runs || !kits->order || !kits->block || !kits->position ||
        !kits->urgency || !kits->from || !kits->of_run || !kits->change) {
        free(list);
        return false;
    }
    for (size_t r = 0; r < runs; r++)
        for (size_t p = 0; p < plan->runs[r].piece_count; p++) {
            const char *kit = kit_of(&problem->pieces[plan->pieces[plan->runs[r].first + p]]);
            if (kit[0] != '\0')
                list[count++] = (struct kit_piece){kit, r};
        }
    qsort(list, count, sizeof *list, by_kit);
    size_t used = 0;
    for (size_t i = 0; i < count; i++) {
        bool fresh = i == 0 || strcmp(list[i].kit, list[i - 1].kit) != 0;
        if (fresh)
            kits->first[kits->count++] = used;
        if (fresh || list[i].run != list[i - 1].run)
            kits->runs[used++] = list[i].run;
    }
    kits->first[kits->count] = used;
    turn_round(kits);
    for (size_t r = 0; r < runs; r++)
        kits->order[r] = r;
    free(list);
    return true;
}

static void kits_free(struct kits *kits) {
    free(kits->first);
    free(kits->runs);
    free(kits->from);
    free(kits->change);
    free(kits->of_run);
    free(kits->order);
    free(kits->block);
    free(kits->position);
    free(kits->urgency);
}

struct ranked {
    const struct cutting_piece *piece; /* the run's most urgent */
    size_t run;
};

/* For the first order: by what is most urgent in the block, then block by block, by urgency within. */
struct standing_in_block {
    size_t block_urgency, block, urgency, run;
};

static int by_urgency(const void *left, const void *right) {
    const struct ranked *a = left, *b = right;
    if (model_more_urgent(a->piece, b->piece) || model_more_urgent(b->piece, a->piece))
        return model_more_urgent(a->piece, b->piece) ? -1 : 1;
    return (a->run > b->run) - (a->run < b->run);
}

static int by_block(const void *left, const void *right) {
    const struct standing_in_block *a = left, *b = right;
    const size_t mine[] = {a->block_urgency, a->block, a->urgency, a->run},
                 its[] = {b->block_urgency, b->block, b->urgency, b->run};
    for (int i = 0; i < 4; i++)
        if (mine[i] != its[i])
            return mine[i] < its[i] ? -1 : 1;
    return 0;
}

static bool order_blocks(struct kits *kits) {
    struct standing_in_block *list = malloc((kits->run_count + 1) * sizeof *list);
    size_t *first = malloc((kits->block_count + 1) * sizeof *first);
    bool fine = list != NULL && first != NULL;
    for (size_t b = 0; fine && b < kits->block_count; b++)
        first[b] = SIZE_MAX;
    for (size_t r = 0; fine && r < kits->run_count; r++)
        if (kits->urgency[r] < first[kits->block[r]])
            first[kits->block[r]] = kits->urgency[r];
    for (size_t r = 0; fine && r < kits->run_count; r++)
        list[r] = (struct standing_in_block){first[kits->block[r]], kits->block[r], kits->urgency[r], r};
    if (fine)
        qsort(list, kits->run_count, sizeof *list, by_block);
    for (size_t r = 0; fine && r < kits->run_count; r++)
        kits->order[r] = list[r].run;
    free(list);
    free(first);
    return fine;
}

/* Equal urgency is equal rank, so that it does not stand against anything else. */
static bool rank(const struct cutting_problem *problem, const struct cutting_plan *plan, struct kits *kits) {
    struct ranked *list = malloc((plan->run_count + 1) * sizeof *list);
    if (list == NULL)
        return false;
    for (size_t r = 0; r < plan->run_count; r++) {
        const struct cutting_run *run = &plan->runs[r];
        list[r] = (struct ranked){&problem->pieces[plan->pieces[run->first]], r};
        for (size_t p = 1; p < run->piece_count; p++) {
            const struct cutting_piece *piece = &problem->pieces[plan->pieces[run->first + p]];
            if (model_more_urgent(piece, list[r].piece))
                list[r].piece = piece;
        }
    }
    qsort(list, plan->run_count, sizeof *list, by_urgency);
    for (size_t i = 0; i < plan->run_count; i++) {
        bool later = i > 0 && model_more_urgent(list[i - 1].piece, list[i].piece);
        kits->urgency[list[i].run] = i == 0 ? 0 : kits->urgency[list[i - 1].run] + later;
    }
    free(list);
    return order_blocks(kits);
}

/* The most kits open at once in this order. */
static int64_t most_open(struct kits *kits, const size_t *order) {
    for (size_t i = 0; i < kits->run_count; i++)
        kits->position[order[i]] = i;
    int64_t *change = kits->change, most = 0, open = 0;
    memset(change, 0, (kits->run_count + 2) * sizeof *change);
    for (size_t k = 0; k < kits->count; k++) {
        size_t begins = SIZE_MAX, ends = 0;
        for (size_t r = kits->first[k]; r < kits->first[k + 1]; r++) {
            size_t at = kits->position[kits->runs[r]];
            begins = at < begins ? at : begins;
            ends = at > ends ? at : ends;
        }
        change[begins]++;
        change[ends + 1]--;
    }
    for (size_t i = 0; i < kits->run_count; i++) {
        open += change[i];
        most = open > most ? open : most;
    }
    return most;
}

struct sets {
    struct kits *kits;
    uint32_t *mask;     /* runs of each kit */
    uint32_t *together; /* of each run, those of its block */
    uint16_t *open;     /* least possible maximum to have sawn this set */
    uint32_t *late;     /* least sum of rank times place, among orders within the least maximum */
    uint8_t *last;
};

/* Kits open while `run` is sawn after the set `done`. */
static uint16_t open_while(const struct sets *sets, uint32_t done, uint32_t run) {
    unsigned open = 0;
    for (size_t k = 0; k < sets->kits->count; k++)
        open += (sets->mask[k] & (done | 1u << run)) != 0 && (sets->mask[k] & ~done) != 0;
    return (uint16_t)(open < UINT16_MAX ? open : UINT16_MAX - 1);
}

/* Whether `run` may follow the set: no other block is begun and not done. */
static bool may_follow(const struct sets *sets, uint32_t before, uint32_t run) {
    for (uint32_t left = before; left != 0; left &= left - 1) {
        uint32_t block = sets->together[__builtin_ctz(left)];
        if ((block & ~before) != 0 && (block >> run & 1) == 0)
            return false;
    }
    return true;
}

static void least_open(struct sets *sets, size_t runs) {
    for (uint32_t set = 1; set < 1u << runs; set++) {
        sets->open[set] = UINT16_MAX;
        for (uint32_t run = 0; run < runs; run++) {
            if (!(set >> run & 1))
                continue;
            uint32_t before = set & ~(1u << run);
            if (sets->open[before] == UINT16_MAX || !may_follow(sets, before, run))
                continue;
            uint16_t now = open_while(sets, before, run);
            now = sets->open[before] > now ? sets->open[before] : now;
            if (now < sets->open[set])
                sets->open[set] = now;
        }
    }
}

static void earliest(struct sets *sets, size_t runs, uint16_t limit) {
    for (uint32_t set = 1; set < 1u << runs; set++) {
        uint32_t place = (uint32_t)__builtin_popcount(set);
        sets->late[set] = UINT32_MAX;
        for (uint32_t run = 0; run < runs; run++) {
            uint32_t before = set & ~(1u << run);
            if (before == set || sets->late[before] == UINT32_MAX || !may_follow(sets, before, run) ||
                open_while(sets, before, run) > limit)
                continue;
            /* The less urgent, the later it should stand: ranks are counted from the other end. */
            uint32_t now = sets->late[before] + place * (uint32_t)(runs - sets->kits->urgency[run]);
            if (now < sets->late[set]) {
                sets->late[set] = now;
                sets->last[set] = (uint8_t)run;
            }
        }
    }
}

static bool order_exactly(struct kits *kits) {
    size_t runs = kits->run_count, count = (size_t)1 << runs;
    struct sets sets = {.kits = kits,
                        .mask = calloc(kits->count + 1, sizeof *sets.mask),
                        .together = calloc(runs + 1, sizeof *sets.together),
                        .open = calloc(count, sizeof *sets.open),
                        .late = calloc(count, sizeof *sets.late),
                        .last = calloc(count, sizeof *sets.last)};
    bool fine = sets.mask && sets.together && sets.open && sets.late && sets.last;
    if (fine) {
        for (size_t k = 0; k < kits->count; k++)
            for (size_t i = kits->first[k]; i < kits->first[k + 1]; i++)
                sets.mask[k] |= 1u << kits->runs[i];
        for (size_t r = 0; r < runs; r++)
            for (size_t other = 0; other < runs; other++)
                sets.together[r] |= (uint32_t)(kits->block[r] == kits->block[other]) << other;
        least_open(&sets, runs);
        earliest(&sets, runs, sets.open[count - 1]);
        for (uint32_t set = (uint32_t)count - 1, at = (uint32_t)runs; set != 0;
             set &= ~(1u << sets.last[set]))
            kits->order[--at] = sets.last[set];
    }
    free(sets.mask);
    free(sets.together);
    free(sets.open);
    free(sets.late);
    free(sets.last);
    return fine;
}

/* Where the greedy order stands: runs of each kit not yet sawn, and whether one has been. */
struct standing {
    size_t *left;
    bool *begun, *done;
    size_t *order;
    size_t *block_left; /* runs of each block not yet sawn */
    size_t block;       /* begun and not done; SIZE_MAX: none */
};

/* By how many fewer or more kits are open once `run` is sawn. */
static int64_t opens(const struct kits *kits, const struct standing *standing, size_t run) {
    int64_t change = 0;
    for (size_t i = kits->from[run]; i < kits->from[run + 1]; i++) {
        size_t kit = kits->of_run[i];
        bool last = standing->left[kit] == 1;
        change += standing->begun[kit] ? (last ? -1 : 0) : (last ? 0 : 1);
    }
    return change;
}

static void saw(const struct kits *kits, struct standing *standing, size_t run) {
    standing->done[run] = true;
    standing->block = --standing->block_left[kits->block[run]] > 0 ? kits->block[run] : SIZE_MAX;
    for (size_t i = kits->from[run]; i < kits->from[run + 1]; i++) {
        standing->begun[kits->of_run[i]] = true;
        standing->left[kits->of_run[i]]--;
    }
}

/* False when the watch ended it. */
static bool fill_order(const struct kits *kits, struct standing *standing, struct watch *watch) {
    for (size_t k = 0; k < kits->count; k++)
        standing->left[k] = kits->first[k + 1] - kits->first[k];
    for (size_t r = 0; r < kits->run_count; r++)
        standing->block_left[kits->block[r]]++;
    for (size_t i = 0; i < kits->run_count; i++) {
        size_t next = SIZE_MAX;
        int64_t least = 0;
        if (watch_over(watch, (int64_t)kits->run_count / 4 + 1))
            return false;
        for (size_t n = 0; n < kits->run_count; n++) {
            size_t run = kits->order[n];
            bool open =
                !standing->done[run] && (standing->block == SIZE_MAX || standing->block == kits->block[run]);
            int64_t change = open ? opens(kits, standing, run) : 0;
            if (open && (next == SIZE_MAX || change < least)) {
                next = run;
                least = change;
            }
        }
        saw(kits, standing, next);
        standing->order[i] = next;
    }
    return true;
}

/* Next what leaves fewest kits open, the more urgent where equal. */
static bool order_greedily(struct kits *kits, struct watch *watch) {
    struct standing standing = {.left = calloc(kits->count + 1, sizeof *standing.left),
                                .begun = calloc(kits->count + 1, sizeof *standing.begun),
                                .done = calloc(kits->run_count + 1, sizeof *standing.done),
                                .order = calloc(kits->run_count + 1, sizeof *standing.order),
                                .block_left = calloc(kits->block_count + 1, sizeof *standing.block_left),
                                .block = SIZE_MAX};
    bool fine = standing.left && standing.begun && standing.done && standing.order && standing.block_left;
    if (fine && fill_order(kits, &standing, watch) &&
        most_open(kits, standing.order) <= most_open(kits, kits->order))
        memcpy(kits->order, standing.order, kits->run_count * sizeof *standing.order);
    free(standing.left);
    free(standing.begun);
    free(standing.done);
    free(standing.order);
    free(standing.block_left);
    return fine;
}

static bool rearrange(const struct kits *kits, struct cutting_plan *plan) {
    struct cutting_run *runs = malloc((plan->run_count + 1) * sizeof *runs);
    if (runs == NULL)
        return false;
    for (size_t i = 0; i < plan->run_count; i++)
        runs[i] = plan->runs[kits->order[i]];
    free(plan->runs);
    plan->runs = runs;
    return true;
}

/* Beyond so many steps of the greedy order, about runs times pieces, urgency alone decides. */
static bool small_enough(const struct kits *kits) {
    return kits->count > 0 && kits->run_count <= 100000000 / (kits->first[kits->count] + 1);
}

/* What the plan's blocks ask of the saw; there is no offer that saves nothing of it. */
static bool count_blocks(const struct cutting_problem *problem, const struct kits *kits,
                         struct cutting_plan *plan) {
    int64_t *bars = calloc(kits->block_count + 1, sizeof *bars);
    if (bars == NULL)
        return false;
    for (size_t r = 0; r < plan->run_count; r++)
        bars[kits->block[r]] += plan->runs[r].count;
    plan->after.setups = (int64_t)kits->block_count;
    plan->after.loads = 0;
    for (size_t b = 0; b < kits->block_count; b++)
        plan->after.loads += blocks_loads(problem, bars[b]);
    /* Bars of equal room and unequal length counted as one before. */
    if (plan->before.setups < plan->after.setups)
        plan->before.setups = plan->after.setups;
    if (plan->before.loads < plan->after.loads)
        plan->before.loads = plan->after.loads;
    plan->has_offer = plan->has_offer && plan->offer_setups < plan->after.setups;
    free(bars);
    return true;
}

bool sequence_plan(const struct cutting_problem *problem, struct watch *watch, struct cutting_plan *plan) {
    struct kits kits = {0};
    bool fine = gather(problem, plan, &kits) && blocks_find(problem, plan, kits.block, &kits.block_count) &&
                count_blocks(problem, &kits, plan);
    /* The analyser loses sight of kits.order here; kits_free gives it back on every way. */
    if (fine && kits.count > 0) {
        // NOLINTNEXTLINE(clang-analyzer-unix.Malloc)
        plan->before.open_kits = most_open(&kits, kits.order);
        plan->least.open_kits = sequence_bound(kits.run_count, kits.from, kits.of_run, kits.count, watch);
    }
    fine = fine && rank(problem, plan, &kits);
    /* Without kits, urgency alone decides, and that is how they stand. */
    if (fine && kits.count > 0 && kits.run_count <= SEQUENCE_EXACT && kits.run_count > 1)
        fine = order_exactly(&kits);
    else if (fine && small_enough(&kits))
        fine = order_greedily(&kits, watch);
    if (fine && kits.count > 0)
        plan->after.open_kits = most_open(&kits, kits.order);
    fine = fine && rearrange(&kits, plan);
    kits_free(&kits);
    return fine;
}
