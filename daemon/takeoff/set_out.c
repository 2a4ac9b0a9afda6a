/* Brackets and joins: marks set out evenly from the midpoint of the opening, joins on brackets.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <stdlib.h>
#include <string.h>

/* Marks stand at midpoint + i * outer / steps for i = -left, -left + 2, ..., right: half spacings from the
 * midpoint, `outer` being the distance of the furthest mark on the side that has `steps` of them. Each is
 * rounded on its own. */
struct lattice {
    int64_t left, right, steps;
    ell_length outer;
    ell_length miss; /* how far the ends are from their best distance, for choosing */
};

static ell_length best_end(const struct system_brackets *limits, ell_length low, ell_length high) {
    return length_most(low, length_least(high, limits->end_best));
}

/* The lattice with `left` half spacings to the left and `right` to the right whose ends are nearest the best.
 */
static bool lattice_fit(const struct takeoff *takeoff, int64_t left, int64_t right, struct lattice *lattice) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    bool left_leads = left >= right;
    int64_t steps = left_leads ? left : right, others = left_leads ? right : left;
    ell_length lead = left_leads ? takeoff->midpoint : takeoff->overall - takeoff->midpoint;
    ell_length other = takeoff->overall - lead;
    ell_length low = length_most(lead - limits->end_most, divide_up(steps * limits->spacing_least, 2));
    ell_length high = length_least(lead - limits->end_least, divide_down(steps * limits->spacing_most, 2));
    if (steps == 0)
        return false;
    if (others > 0) {
        low = length_most(low, divide_up(steps * (other - limits->end_most), others));
        high = length_least(high, divide_down(steps * (other - limits->end_least), others));
    } else if (other < limits->end_least || other > limits->end_most) {
        return false;
    }
    low = divide_up(low, limits->mark_step) * limits->mark_step;
    high = divide_down(high, limits->mark_step) * limits->mark_step;
    if (low > high)
        return false;
    ell_length wanted = lead - best_end(limits, 0, ELL_LENGTH_MAX);
    ell_length outer =
        divide_near(length_most(low, length_least(high, wanted)), limits->mark_step) * limits->mark_step;
    outer = length_most(low, length_least(high, outer));
    ell_length other_end = other - others * outer / steps;
    *lattice = (struct lattice){left, right, steps, outer,
                                llabs(lead - outer - limits->end_best) + llabs(other_end - limits->end_best)};
    return true;
}

static ell_length round_mark(const struct takeoff *takeoff, int64_t over, int64_t under) {
    ell_length step = takeoff->system->brackets.mark_step;
    return divide_near(over, under * step) * step;
}

static void put_mark(struct takeoff *takeoff, ell_length from_midpoint) {
    takeoff->marks[takeoff->mark_count++] =
        (struct takeoff_mark){takeoff->midpoint + from_midpoint, from_midpoint, false};
}

/* After rounding, are all distances still within their bounds? */
static bool marks_lawful(const struct takeoff *takeoff) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    ell_length first = takeoff->marks[0].from_left;
    ell_length last = takeoff->overall - takeoff->marks[takeoff->mark_count - 1].from_left;
    if (first < limits->end_least || first > limits->end_most || last < limits->end_least ||
        last > limits->end_most)
        return false;
    for (size_t i = 1; i < takeoff->mark_count; i++) {
        ell_length apart = takeoff->marks[i].from_left - takeoff->marks[i - 1].from_left;
        if (apart < limits->spacing_least || apart > limits->spacing_most)
            return false;
    }
    return true;
}

/* `count` marks, evenly from the midpoint. */
static bool marks_even(struct takeoff *takeoff, int64_t count) {
    struct lattice best = {.miss = ELL_LENGTH_MAX}, trial;
    for (int64_t left = 0; left <= 2 * (count - 1); left++) {
        int64_t right = 2 * (count - 1) - left;
        if (!lattice_fit(takeoff, left, right, &trial))
            continue;
        if (trial.miss < best.miss ||
            (trial.miss == best.miss && llabs(trial.left - trial.right) < llabs(best.left - best.right)))
            best = trial;
    }
    takeoff->mark_count = 0;
    if (best.miss == ELL_LENGTH_MAX)
        return false;
    for (int64_t i = -best.left; i <= best.right; i += 2)
        put_mark(takeoff, round_mark(takeoff, i * best.outer, best.steps));
    takeoff->even = true;
    return marks_lawful(takeoff);
}

/* `count` marks spread evenly between the ends, wherever the midpoint of the opening is. */
static bool marks_spread(struct takeoff *takeoff, int64_t count) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    int64_t gaps = count - 1;
    ell_length low =
        length_most(limits->end_least, divide_up(takeoff->overall - gaps * limits->spacing_most, 2));
    ell_length high =
        length_least(limits->end_most, divide_down(takeoff->overall - gaps * limits->spacing_least, 2));
    takeoff->mark_count = 0;
    if (low > high)
        return false;
    ell_length end = best_end(limits, low, high), span = takeoff->overall - 2 * end;
    for (int64_t i = 0; i <= gaps; i++)
        put_mark(takeoff, round_mark(takeoff, (end - takeoff->midpoint) * gaps + i * span, gaps));
    takeoff->even = false;
    return marks_lawful(takeoff);
}

static bool join_lawful(const struct takeoff *takeoff, ell_length place) {
    const struct system_joins *limits = &takeoff->system->joins;
    ell_length meeting = takeoff->overall / 2;
    return place >= limits->end_least && takeoff->overall - place >= limits->end_least &&
           (takeoff->survey.draw != DRAW_PAIR || llabs(place - meeting) >= limits->meeting_least);
}

static ell_length longest_piece(const struct takeoff *takeoff) {
    ell_length longest = takeoff->system->longest_piece;
    return takeoff->survey.carrier_longest == SURVEY_UNKNOWN
               ? longest
               : length_least(longest, takeoff->survey.carrier_longest);
}

/* Adds every split that continues `split` from mark `from` on, with `more` joins to come. */
static void splits_from(struct takeoff *takeoff, struct takeoff_split *split, size_t from, size_t more) {
    size_t done = split->piece_count - 1 - more;
    ell_length end_part = takeoff->system->allowances.end_part, longest = longest_piece(takeoff);
    ell_length begin = done == 0 ? end_part : split->joins[done - 1];
    if (more == 0) {
        ell_length piece = takeoff->overall - end_part - begin;
        split->pieces[done] = piece;
        if (piece >= takeoff->system->shortest_piece && piece <= longest &&
            takeoff->split_count < TAKEOFF_SPLITS)
            takeoff->splits[takeoff->split_count++] = *split;
        return;
    }
    for (size_t i = from; i < takeoff->mark_count && takeoff->split_count < TAKEOFF_SPLITS; i++) {
        ell_length place = takeoff->marks[i].from_left, piece = place - begin;
        if (piece > longest)
            break;
        if (piece < takeoff->system->shortest_piece || !join_lawful(takeoff, place))
            continue;
        split->joins[done] = place;
        split->pieces[done] = piece;
        splits_from(takeoff, split, i + 1, more - 1);
    }
}

static ell_length longest_of(const struct takeoff_split *split) {
    ell_length longest = 0;
    for (size_t i = 0; i < split->piece_count; i++)
        longest = length_most(longest, split->pieces[i]);
    return longest;
}

/* The most even split comes first; among equals the longer piece goes to the cord's side, or where the
 * curtain stands. */
static bool split_better(const struct takeoff *takeoff, const struct takeoff_split *a,
                         const struct takeoff_split *b) {
    ell_length longest_a = longest_of(a), longest_b = longest_of(b);
    if (longest_a != longest_b)
        return longest_a < longest_b;
    bool right_leads = takeoff->survey.control == CONTROL_CORD_RIGHT ||
                       (takeoff->survey.control == CONTROL_HAND && takeoff->survey.draw == DRAW_RIGHT);
    ell_length first_a = right_leads ? a->pieces[a->piece_count - 1] : a->pieces[0];
    ell_length first_b = right_leads ? b->pieces[b->piece_count - 1] : b->pieces[0];
    return first_a > first_b;
}

static bool find_splits(struct takeoff *takeoff) {
    takeoff->split_count = 0;
    ell_length longest = longest_piece(takeoff);
    for (size_t pieces = (size_t)divide_up(takeoff->cut_total, longest);
         pieces <= TAKEOFF_PIECES && takeoff->split_count == 0; pieces++) {
        struct takeoff_split split = {.piece_count = pieces};
        splits_from(takeoff, &split, 0, pieces - 1);
    }
    for (size_t i = 1; i < takeoff->split_count; i++)
        if (split_better(takeoff, &takeoff->splits[i], &takeoff->splits[0])) {
            struct takeoff_split first = takeoff->splits[0];
            takeoff->splits[0] = takeoff->splits[i];
            takeoff->splits[i] = first;
        }
    return takeoff->split_count > 0;
}

static void mark_joins(struct takeoff *takeoff) {
    const struct takeoff_split *split = &takeoff->splits[0];
    for (size_t i = 0; i < takeoff->mark_count; i++)
        for (size_t j = 0; j + 1 < split->piece_count; j++)
            if (split->joins[j] == takeoff->marks[i].from_left)
                takeoff->marks[i].join = true;
}

void step_set_out(struct takeoff *takeoff) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    int64_t least =
        divide_up(length_most(0, takeoff->overall - 2 * limits->end_most), limits->spacing_most) + 1;
    int64_t most = divide_down(takeoff->overall - 2 * limits->end_least, limits->spacing_least) + 1;
    bool placed = false;
    for (int64_t count = length_most(2, least); count <= length_least(most, TAKEOFF_MARKS); count++) {
        if (!marks_even(takeoff, count) && !marks_spread(takeoff, count))
            continue;
        placed = true;
        if (!find_splits(takeoff))
            continue;
        mark_joins(takeoff);
        return;
    }
    advise(takeoff, placed ? "no-join" : "no-spacing", SEVERITY_REFUSAL, "brackets",
           placed ? "Allow a longer piece to be carried, or take a system with longer pieces."
                  : "Check the measures, or take a system whose brackets stand closer to the ends.",
           placed
               ? "No bracket stands where the track may be joined into pieces that can be made and carried."
               : "No bracket spacing from the least to the greatest fits this track.");
    takeoff->split_count = takeoff->mark_count = 0;
}
