/* Bracket marks: evenly from the midpoint outward, as running dimensions.
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
    int64_t miss; /* twice how far the ends are from their best distances, for choosing */
};

size_t legs_open(const struct takeoff *takeoff, struct leg legs[LEGS]) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    const struct end_limits at_end = {limits->end_least, limits->end_best, limits->end_most};
    const struct end_limits at_bend = {limits->bend_least, limits->bend_least, limits->bend_most};
    size_t count = takeoff->bend_count + 1;
    for (size_t i = 0; i < count; i++) {
        const struct takeoff_bend *before = i > 0 ? &takeoff->bends[i - 1] : NULL;
        const struct takeoff_bend *after = i < takeoff->bend_count ? &takeoff->bends[i] : NULL;
        struct leg *leg = &legs[i];
        *leg = (struct leg){.first = before ? at_bend : at_end, .last = after ? at_bend : at_end};
        leg->start = before ? before->start + before->length : 0;
        leg->end = after ? after->start : takeoff->overall;
        leg->twice_midpoint = count == 1 ? takeoff->twice_midpoint : leg->start + leg->end;
        leg->midpoint = inward_half(leg->twice_midpoint, takeoff->overall);
    }
    return count;
}

/* The lattice with `left` half spacings to the left and `right` to the right whose ends are nearest the
 * best. */
static bool lattice_fit(const struct takeoff *takeoff, const struct leg *leg, int64_t left, int64_t right,
                        struct lattice *lattice) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    bool left_leads = left >= right;
    int64_t steps = left_leads ? left : right, others = left_leads ? right : left;
    const struct end_limits *lead_end = left_leads ? &leg->first : &leg->last;
    const struct end_limits *other_end = left_leads ? &leg->last : &leg->first;
    int64_t lead = left_leads ? leg->twice_midpoint - 2 * leg->start : 2 * leg->end - leg->twice_midpoint;
    int64_t other = 2 * (leg->end - leg->start) - lead, step = 2 * limits->mark_step;
    if (steps == 0)
        return false;
    int64_t low = length_most(lead - 2 * lead_end->most, steps * limits->spacing_least);
    int64_t high = length_least(lead - 2 * lead_end->least, steps * limits->spacing_most);
    if (others > 0) {
        low = length_most(low, divide_up(steps * (other - 2 * other_end->most), others));
        high = length_least(high, divide_down(steps * (other - 2 * other_end->least), others));
    } else if (other < 2 * other_end->least || other > 2 * other_end->most) {
        return false;
    }
    low = divide_up(low, step);
    high = divide_down(high, step);
    if (low > high)
        return false;
    /* With as many steps each way neither side leads: the mean of what both want, so that a mirror image mirrors. */
    int64_t wanted = 2 * (lead - 2 * lead_end->best);
    if (steps == others)
        wanted = lead - 2 * lead_end->best + other - 2 * other_end->best;
    ell_length outer =
        length_most(low, length_least(high, divide_near(wanted, 2 * step))) * limits->mark_step;
    int64_t rest = other - 2 * others * outer / steps;
    *lattice =
        (struct lattice){left, right, steps, outer,
                         llabs(lead - 2 * outer - 2 * lead_end->best) + llabs(rest - 2 * other_end->best)};
    return true;
}

static ell_length mark_at(const struct leg *leg, int64_t over, int64_t under, ell_length step) {
    return leg->midpoint + divide_near(over, under * step) * step;
}

/* After rounding, are all distances still within their bounds? Notes the widest. Where the midpoint lies
 * between two tenths so do the true marks, half a tenth beside where they are written down. */
static bool places_lawful(const struct takeoff *takeoff, struct leg *leg, const ell_length *places,
                          int64_t count) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    int64_t half = leg->twice_midpoint - 2 * leg->midpoint;
    int64_t first = 2 * (places[0] - leg->start) + half, last = 2 * (leg->end - places[count - 1]) - half;
    leg->widest = 0;
    if (first < 2 * leg->first.least || first > 2 * leg->first.most || last < 2 * leg->last.least ||
        last > 2 * leg->last.most)
        return false;
    for (int64_t i = 1; i < count; i++) {
        ell_length apart = places[i] - places[i - 1];
        leg->widest = length_most(leg->widest, apart);
        if (apart < limits->spacing_least || apart > limits->spacing_most)
            return false;
    }
    return true;
}

/* Only shares near that of the two sides can fit; the loop keeps to those, so that long tracks stay quick. */
static bool place_even(const struct takeoff *takeoff, struct leg *leg, int64_t count, ell_length *places) {
    struct lattice best = {.miss = ELL_LENGTH_MAX}, trial;
    int64_t all = 2 * (count - 1);
    int64_t centre = divide_near(all * (leg->twice_midpoint - 2 * leg->start),
                                 length_most(1, 2 * (leg->end - leg->start)));
    for (int64_t left = length_most(0, centre - 4); left <= length_least(all, centre + 4); left++) {
        if (!lattice_fit(takeoff, leg, left, all - left, &trial))
            continue;
        if (trial.miss < best.miss ||
            (trial.miss == best.miss && llabs(2 * left - all) < llabs(2 * best.left - all)))
            best = trial;
    }
    if (best.miss == ELL_LENGTH_MAX)
        return false;
    for (int64_t i = 0; i < count; i++)
        places[i] =
            mark_at(leg, (2 * i - best.left) * best.outer, best.steps, takeoff->system->brackets.mark_step);
    leg->even = true;
    return places_lawful(takeoff, leg, places, count);
}

/* What the best end distances leave too much or too little (`all`) both ends take in equal parts, as far as
 * they can. */
static void share(int64_t all, int64_t room_first, int64_t room_last, int64_t sign, int64_t *first,
                  int64_t *last) {
    int64_t at_first = length_least(all / 2, room_first), at_last = length_least(all - at_first, room_last);
    *first += sign * (all - at_last);
    *last += sign * at_last;
}

/* Every spacing the same whole number of steps, where rounding each mark for itself would stretch one beyond
 * its bound: `span` is twice that from first to last mark, `first` twice the first end. Of two places as near
 * the one on the midpoint's side, or the track's middle's, is tried first, so that a mirror image mirrors. */
static bool place_stepped(const struct takeoff *takeoff, struct leg *leg, int64_t count, int64_t first,
                          int64_t span, int64_t step, ell_length *places) {
    int64_t gaps = count - 1;
    int64_t apart = divide_down(span, 2 * gaps * step) * step;
    /* Twice the first mark from the leg's midpoint, what the span shrinks shared by both ends. */
    int64_t from = 2 * leg->start + first + (span - 2 * gaps * apart) / 2 - leg->twice_midpoint;
    int64_t down = divide_down(from, 2 * step), rest = from - down * 2 * step;
    int64_t side = leg->twice_midpoint - leg->start - leg->end;
    if (side == 0)
        side = takeoff->overall - leg->twice_midpoint;
    bool right = rest == step ? side > 0 : rest > step;
    for (int attempt = 0; attempt < 2; attempt++, right = !right) {
        for (int64_t i = 0; i < count; i++)
            places[i] = leg->midpoint + (down + right) * step + i * apart;
        if (places_lawful(takeoff, leg, places, count))
            return true;
    }
    return false;
}

/* Spread evenly between the ends, wherever the midpoint of the opening is. Works with twice the lengths as
 * well. Between bends, where both ends are close, marks may be tenths rather than steps. */
static bool place_spread(const struct takeoff *takeoff, struct leg *leg, int64_t count, ell_length *places) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    const struct end_limits *one = &leg->first, *two = &leg->last;
    int64_t gaps = count - 1, length = leg->end - leg->start;
    int64_t rest = length - one->best - two->best, first = 2 * one->best, last = 2 * two->best;
    ell_length excess = length_most(0, rest - gaps * limits->spacing_most);
    ell_length want = length_most(0, gaps * limits->spacing_least - rest);
    share(2 * excess, 2 * (one->most - one->best), 2 * (two->most - two->best), 1, &first, &last);
    share(2 * want, 2 * (one->best - one->least), 2 * (two->best - two->least), -1, &first, &last);
    int64_t span = 2 * length - first - last;
    leg->even = false;
    for (ell_length step = limits->mark_step; step > 0; step = step > 1 && takeoff->bend_count > 0 ? 1 : 0) {
        for (int64_t i = 0; i <= gaps; i++)
            places[i] = mark_at(leg, (2 * leg->start + first - leg->twice_midpoint) * gaps + i * span,
                                2 * gaps, step);
        if (places_lawful(takeoff, leg, places, count) ||
            place_stepped(takeoff, leg, count, first, span, step, places))
            return true;
    }
    return false;
}

/* A short stretch between bends may hang on one bracket. */
static bool place_single(struct leg *leg, ell_length *places) {
    ell_length low = length_most(leg->start + leg->first.least, leg->end - leg->last.most);
    ell_length high = length_least(leg->start + leg->first.most, leg->end - leg->last.least);
    places[0] = length_most(low, length_least(high, leg->midpoint));
    leg->even = places[0] == leg->midpoint;
    leg->widest = 0;
    return low <= high;
}

typedef bool placing(const struct takeoff *takeoff, struct leg *leg, int64_t count, ell_length *places);

/* The first count from `count` to `most` that `place` can place. */
static bool place_first(const struct takeoff *takeoff, struct leg *leg, int64_t count, int64_t most,
                        placing *place, ell_length *places) {
    for (; count <= most; count++) {
        struct leg trial = *leg;
        ell_length marks[TAKEOFF_MARKS] = {0};
        trial.count = count;
        if (count == 1 ? !place_single(&trial, marks) : !place(takeoff, &trial, count, marks))
            continue;
        *leg = trial;
        memcpy(places, marks, (size_t)count * sizeof *places);
        return true;
    }
    return false;
}

bool leg_place(const struct takeoff *takeoff, struct leg *leg, int64_t count, int64_t most,
               ell_length *places) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    ell_length room = leg->end - leg->start;
    int64_t least =
        divide_up(length_most(0, room - leg->first.most - leg->last.most), limits->spacing_most) + 1;
    int64_t fit = divide_down(room - leg->first.least - leg->last.least, limits->spacing_least) + 1;
    count = length_most(count, least);
    most = length_least(length_least(most, fit), TAKEOFF_MARKS);
    struct leg spread = *leg;
    ell_length spread_places[TAKEOFF_MARKS];
    if (!place_first(takeoff, &spread, count, most, place_spread, spread_places))
        return place_first(takeoff, leg, count, most, place_even, places);
    if (place_first(takeoff, leg, count, length_least(most, spread.count + limits->even_extra), place_even,
                    places))
        return true;
    *leg = spread;
    memcpy(places, spread_places, (size_t)spread.count * sizeof *places);
    return true;
}
