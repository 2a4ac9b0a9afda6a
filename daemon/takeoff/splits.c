/* Joins: every bracket place at which the track may be made of more than one piece.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <stdlib.h>
#include <string.h>

/* Never over the first or last bracket: what overhangs there would hang on the joint alone. */
static bool join_lawful(const struct takeoff *takeoff, size_t mark) {
    const struct system_joins *limits = &takeoff->system->joins;
    ell_length place = takeoff->marks[mark].from_left;
    if (mark == 0 || mark + 1 == takeoff->mark_count)
        return false;
    if (place < limits->end_least || takeoff->overall - place < limits->end_least)
        return false;
    if (takeoff->survey.draw == DRAW_PAIR && llabs(2 * place - takeoff->overall) < 2 * limits->meeting_least)
        return false;
    for (size_t i = 0; i < takeoff->bend_count; i++) {
        const struct takeoff_bend *bend = &takeoff->bends[i];
        if (place > bend->start - limits->bend_least &&
            place < bend->start + bend->length + limits->bend_least)
            return false;
    }
    return true;
}

static ell_length longest_piece(const struct takeoff *takeoff) {
    ell_length longest = takeoff->system->longest_piece;
    return takeoff->survey.carrier_longest == SURVEY_UNKNOWN
               ? longest
               : length_least(longest, takeoff->survey.carrier_longest);
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

size_t splits_least(const struct takeoff *takeoff) {
    return (size_t)divide_up(takeoff->cut_total, longest_piece(takeoff));
}

/* The list while it is made. Of more ways than it has room for every `stride`-th is kept, and the preferred
 * one beside them: the saw is served by lengths that differ. */
struct listing {
    struct takeoff *takeoff;
    struct takeoff_split best;
    int64_t best_way, stride; /* the ways are numbered from the left, from 0 */
};

static void thin_out(struct listing *listing) {
    struct takeoff *takeoff = listing->takeoff;
    for (size_t i = 0; 2 * i < takeoff->split_count; i++)
        takeoff->splits[i] = takeoff->splits[2 * i];
    takeoff->split_count = (takeoff->split_count + 1) / 2;
    listing->stride *= 2;
}

static void list_split(struct listing *listing, const struct takeoff_split *split) {
    struct takeoff *takeoff = listing->takeoff;
    if (takeoff->ways == 0 || split_better(takeoff, split, &listing->best)) {
        listing->best = *split;
        listing->best_way = takeoff->ways;
    }
    if (takeoff->ways % listing->stride == 0) {
        if (takeoff->split_count == TAKEOFF_SPLITS)
            thin_out(listing);
        if (takeoff->ways % listing->stride == 0)
            takeoff->splits[takeoff->split_count++] = *split;
    }
    takeoff->ways++;
}

/* Lists every split that continues `split` from mark `from` on, with `more` joins to come. */
static void splits_from(struct listing *listing, struct takeoff_split *split, size_t from, size_t more) {
    const struct takeoff *takeoff = listing->takeoff;
    size_t done = split->piece_count - 1 - more;
    ell_length end_part = takeoff->system->allowances.end_part, longest = longest_piece(takeoff);
    ell_length begin = done == 0 ? end_part : split->joins[done - 1];
    if (more == 0) {
        ell_length piece = takeoff->overall - end_part - begin;
        split->pieces[done] = piece;
        if (piece >= takeoff->system->shortest_piece && piece <= longest)
            list_split(listing, split);
        return;
    }
    for (size_t i = from; i < takeoff->mark_count && takeoff->ways < TAKEOFF_WAYS; i++) {
        ell_length place = takeoff->marks[i].from_left, piece = place - begin;
        if (piece > longest)
            break;
        if (piece < takeoff->system->shortest_piece || !join_lawful(takeoff, i))
            continue;
        split->joins[done] = place;
        split->pieces[done] = piece;
        splits_from(listing, split, i + 1, more - 1);
    }
}

/* Puts the preferred split first; where it is not on the list it takes the place of the last. */
static void prefer(struct listing *listing) {
    struct takeoff *takeoff = listing->takeoff;
    bool listed = listing->best_way % listing->stride == 0;
    size_t place = listed ? (size_t)(listing->best_way / listing->stride) : takeoff->split_count;
    if (!listed && takeoff->split_count == TAKEOFF_SPLITS)
        place--;
    else if (!listed)
        takeoff->split_count++;
    memmove(&takeoff->splits[1], &takeoff->splits[0], place * sizeof listing->best);
    takeoff->splits[0] = listing->best;
}

bool splits_find(struct takeoff *takeoff, size_t pieces) {
    struct takeoff_split split = {.piece_count = pieces};
    struct listing listing = {.takeoff = takeoff, .stride = 1};
    takeoff->split_count = 0;
    takeoff->ways = 0;
    splits_from(&listing, &split, 0, pieces - 1);
    if (takeoff->ways > 0)
        prefer(&listing);
    takeoff->splits_capped = takeoff->ways > (int64_t)takeoff->split_count;
    return takeoff->ways > 0;
}
