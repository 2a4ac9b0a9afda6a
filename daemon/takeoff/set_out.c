/* The fewest brackets that stand lawfully, carry the curtains, and have a join where one is needed.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <stdlib.h>
#include <string.h>

/* A track being set out: its stretches and each stretch's marks. */
struct setting {
    struct leg legs[LEGS];
    size_t leg_count;
    ell_length places[LEGS][TAKEOFF_MARKS];
};

static int64_t marks_of(const struct setting *setting) {
    int64_t sum = 0;
    for (size_t i = 0; i < setting->leg_count; i++)
        sum += setting->legs[i].count;
    return sum;
}

static bool grow(const struct takeoff *takeoff, struct setting *setting, size_t leg) {
    int64_t spare = TAKEOFF_MARKS - marks_of(setting), count = setting->legs[leg].count;
    return leg_place(takeoff, &setting->legs[leg], count + 1, count + spare, setting->places[leg]);
}

static bool open_setting(const struct takeoff *takeoff, struct setting *setting) {
    setting->leg_count = legs_open(takeoff, setting->legs);
    for (size_t i = 0; i < setting->leg_count; i++)
        if (setting->leg_count == 1
                ? !leg_place(takeoff, &setting->legs[i], 2, TAKEOFF_MARKS, setting->places[i])
                : !grow(takeoff, setting, i))
            return false;
    return true;
}

static bool overloaded(const struct takeoff *takeoff, const struct leg *leg, const bool *over) {
    for (size_t i = 0; i < takeoff->mark_count; i++)
        if (over[i] && takeoff->marks[i].from_left >= leg->start && takeoff->marks[i].from_left <= leg->end)
            return true;
    return false;
}

/* Of two stretches the one whose brackets stand wider goes first, then the longer. */
static int need(const struct leg *a, const struct leg *b) {
    ell_length length_a = a->end - a->start, length_b = b->end - b->start;
    if (a->widest != b->widest)
        return a->widest > b->widest ? 1 : -1;
    return (length_a > length_b) - (length_a < length_b);
}

/* Adds a bracket to each stretch with an overloaded one; where that cannot be or there is none, to the
 * stretch that needs it most. Stretches in equal need get one each, so that a mirror image stays one. */
static bool tighten(const struct takeoff *takeoff, struct setting *setting, const bool *over) {
    bool grown = false, full[LEGS] = {false};
    for (size_t i = 0; i < setting->leg_count; i++)
        if (overloaded(takeoff, &setting->legs[i], over))
            grown = grow(takeoff, setting, i) || grown;
    while (!grown) {
        const struct leg *first = NULL;
        for (size_t i = 0; i < setting->leg_count; i++)
            if (!full[i] && (first == NULL || need(&setting->legs[i], first) > 0))
                first = &setting->legs[i];
        if (first == NULL)
            return false;
        struct leg most = *first;
        for (size_t i = 0; i < setting->leg_count; i++)
            if (!full[i] && need(&setting->legs[i], &most) == 0) {
                full[i] = true;
                grown = grow(takeoff, setting, i) || grown;
            }
    }
    return true;
}

static void put_marks(struct takeoff *takeoff, const struct setting *setting) {
    takeoff->mark_count = 0;
    takeoff->even = true;
    for (size_t i = 0; i < setting->leg_count; i++) {
        takeoff->even = takeoff->even && setting->legs[i].even;
        for (int64_t j = 0; j < setting->legs[i].count; j++) {
            ell_length place = setting->places[i][j];
            takeoff->marks[takeoff->mark_count++] =
                (struct takeoff_mark){place, place - takeoff->midpoint, false};
        }
    }
}

/* Around a bend the brackets may stand no further apart than elsewhere. */
static bool bends_held(const struct takeoff *takeoff) {
    for (size_t i = 1; i < takeoff->mark_count && takeoff->bend_count > 0; i++)
        if (takeoff->marks[i].from_left - takeoff->marks[i - 1].from_left >
            takeoff->system->brackets.spacing_most)
            return false;
    return true;
}

/* Keeps the splits that hold, in their order. When none holds the first is kept, `over` tells its overloaded
 * marks, and the answer is false. */
static bool keep_holding(struct takeoff *takeoff, const struct capacity *capacity, bool *over) {
    size_t kept = 0;
    for (size_t i = 0; i < takeoff->split_count; i++) {
        struct takeoff_split *split = &takeoff->splits[i];
        bool trial[TAKEOFF_MARKS] = {false};
        bool holds = hanging_check(takeoff, capacity, split, &split->hanging, trial);
        if (i == 0)
            memcpy(over, trial, sizeof trial);
        if (holds)
            takeoff->splits[kept++] = *split;
    }
    takeoff->split_count = kept > 0 ? kept : 1;
    takeoff->hanging = takeoff->splits[0].hanging;
    return kept > 0;
}

static void mark_joins(struct takeoff *takeoff) {
    const struct takeoff_split *split = &takeoff->splits[0];
    for (size_t i = 0; i < takeoff->mark_count; i++)
        for (size_t j = 0; j + 1 < split->piece_count; j++)
            if (split->joins[j] == takeoff->marks[i].from_left)
                takeoff->marks[i].join = true;
}

static void refuse_spacing(struct takeoff *takeoff) {
    advise(takeoff, "no-spacing", SEVERITY_REFUSAL, "brackets",
           "Check the measures, or take a system whose brackets may stand otherwise.",
           "No bracket spacing from the least to the greatest fits this track%s.",
           takeoff->bend_count > 0 ? " between its bends and around them" : "");
    takeoff->split_count = takeoff->mark_count = 0;
}

enum outcome { SET_OUT, NO_SPACING, NO_JOIN, NO_HOLD };

/* The fewest brackets with which the track holds in so many pieces. */
static enum outcome set_out_in(struct takeoff *takeoff, const struct capacity *capacity, size_t pieces) {
    struct setting setting = {.leg_count = 0};
    enum outcome outcome = NO_JOIN;
    bool over[TAKEOFF_MARKS] = {false};
    if (!open_setting(takeoff, &setting))
        return NO_SPACING;
    int64_t least = marks_of(&setting);
    do {
        put_marks(takeoff, &setting);
        if (!bends_held(takeoff))
            return NO_SPACING;
        memset(over, 0, sizeof over);
        if (!splits_find(takeoff, pieces))
            continue;
        if (keep_holding(takeoff, capacity, over)) {
            mark_joins(takeoff);
            return SET_OUT;
        }
        outcome = NO_HOLD;
    } while (tighten(takeoff, &setting, over) &&
             (outcome != NO_JOIN || marks_of(&setting) <= least + takeoff->system->joins.extra));
    return outcome;
}

/* Fewest pieces before fewest brackets, as far as the system's joins.extra goes: a join costs more than a
 * bracket. More pieces help only where no join sat right; what does not hold in few pieces does not hold in
 * more. */
void step_set_out(struct takeoff *takeoff) {
    struct capacity capacity;
    enum outcome outcome = NO_JOIN;
    capacity_find(takeoff, &capacity);
    for (size_t pieces = splits_least(takeoff); pieces <= TAKEOFF_PIECES && outcome == NO_JOIN; pieces++)
        outcome = set_out_in(takeoff, &capacity, pieces);
    if (outcome == NO_SPACING)
        refuse_spacing(takeoff);
    if (outcome == NO_HOLD)
        hanging_refuse(takeoff, &capacity);
    if (outcome == NO_JOIN)
        advise(takeoff, "no-join", SEVERITY_REFUSAL, "brackets",
               "Allow a longer piece to be carried, or take a system with longer pieces.",
               "No bracket stands where the track may be joined into pieces that can be made and carried.");
}
