/* What only the whole catalogue can tell: circles, overlaps, and what must never be missing.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/catalogue_rows.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What a part needs may need parts in turn, to this depth; it bounds the work of everything that follows needs. */
enum { NEEDS_DEEPEST = 3, UNSEEN = 0, OPEN = -1 };

/* heights: how deep the needs of each part go, 1 for a part that needs none, or one of the two above. */
static bool part_visit(const struct catalogue *catalogue, size_t index, int *heights, struct fault *fault) {
    const struct part *part = &catalogue->parts[index];
    int height = 1;
    char where[64];
    snprintf(where, sizeof where, "parts[%zu].needs", index);
    if (heights[index] == OPEN)
        return fault_set(fault, "circular-part", where,
                         "Part \"%s\" needs itself, directly or through others.", part->code);
    if (heights[index] != UNSEEN)
        return true;
    heights[index] = OPEN;
    for (size_t i = 0; i < part->need_count; i++) {
        size_t need = part->needs[i].part;
        if (part->unit == UNIT_LENGTH || catalogue->parts[need].unit == UNIT_LENGTH)
            return fault_set(fault, "out-of-range", where,
                             "Parts by length can neither need parts nor be needed.");
        if (!part_visit(catalogue, need, heights, fault))
            return false;
        height = heights[need] >= height ? heights[need] + 1 : height;
    }
    heights[index] = height;
    return height <= NEEDS_DEEPEST + 1 ||
           fault_set(fault, "out-of-range", where, "What part \"%s\" needs goes %d deep; the most is %d.",
                     part->code, height - 1, NEEDS_DEEPEST);
}

static bool check_needs(const struct catalogue *catalogue, struct fault *fault) {
    int *heights = calloc(catalogue->part_count, sizeof *heights);
    if (heights == NULL)
        return fault_memory(fault);
    bool good = true;
    for (size_t i = 0; i < catalogue->part_count && good; i++)
        good = part_visit(catalogue, i, heights, fault);
    free(heights);
    return good;
}

static bool meet(const struct condition *a, const struct condition *b) {
    return (a->control & b->control) && (a->position & b->position) && (a->place & b->place) &&
           (a->draw & b->draw) && (a->substrate & b->substrate) && (a->finish & b->finish) &&
           a->from < b->below && b->from < a->below;
}

/* Two rules may not both give a part of one role for the same thing: the kit would hold it twice. */
static bool check_rules(const struct catalogue *catalogue, size_t at, struct fault *fault) {
    const struct track_system *system = &catalogue->systems[at];
    for (size_t i = 0; i < system->rule_count; i++)
        for (size_t j = 0; j < i; j++) {
            const struct rule *a = &system->rules[j], *b = &system->rules[i];
            enum part_role role = catalogue->parts[a->part].role;
            bool same = a->part == b->part || (role != ROLE_OTHER && role == catalogue->parts[b->part].role);
            if (!same || a->per != b->per || !meet(&a->when, &b->when))
                continue;
            char where[64];
            snprintf(where, sizeof where, "systems[%zu].rules[%zu].when", at, i);
            return fault_set(
                fault, "overlapping-rules", where,
                "This rule and rules[%zu] can hold at once, so \"%s\" and \"%s\" would both be taken. "
                "Narrow one of them.",
                j, catalogue->parts[a->part].code, catalogue->parts[b->part].code);
        }
    return true;
}

static bool check_fixings(const struct catalogue *catalogue, size_t at, struct fault *fault) {
    const struct track_system *system = &catalogue->systems[at];
    for (size_t i = 0; i < system->fixing_count; i++) {
        const struct fixing *fixing = &system->fixings[i];
        char where[64];
        snprintf(where, sizeof where, "systems[%zu].fixings[%zu]", at, i);
        for (size_t j = 0; j < i; j++)
            if (system->fixings[j].substrate == fixing->substrate &&
                (system->fixings[j].position & fixing->position))
                return fault_set(fault, "overlapping-rules", where,
                                 "This fixing and fixings[%zu] name the same substrate and position.", j);
        if (catalogue->parts[fixing->screw].unit != UNIT_EACH ||
            (fixing->plug != SIZE_MAX && catalogue->parts[fixing->plug].unit != UNIT_EACH))
            return fault_set(fault, "out-of-range", where,
                             "Screws and plugs are counted; this one is by length.");
    }
    return true;
}

/* True when the part brings at least `least` of `role` along, through however many parts. */
static int64_t brought(const struct catalogue *catalogue, const struct part *part, enum part_role role) {
    int64_t sum = 0;
    for (size_t i = 0; i < part->need_count; i++) {
        const struct part *need = &catalogue->parts[part->needs[i].part];
        sum += part->needs[i].quantity * ((need->role == role) + brought(catalogue, need, role));
    }
    return sum;
}

/* A cord loop needs its tension pulley whatever else holds, so its rule may depend on nothing but the
 * control. */
static bool check_cord(const struct catalogue *catalogue, size_t at, struct fault *fault) {
    const struct track_system *system = &catalogue->systems[at];
    const uint64_t cords = (uint64_t)1 << CONTROL_CORD_LEFT | (uint64_t)1 << CONTROL_CORD_RIGHT;
    uint64_t covered = system->corded ? 0 : cords;
    for (size_t i = 0; i < system->rule_count && system->corded; i++) {
        const struct rule *rule = &system->rules[i];
        const struct part *part = &catalogue->parts[rule->part];
        const struct condition *when = &rule->when;
        bool free_of_others =
            (when->position & when->place & when->draw & when->substrate & when->finish) == UINT64_MAX &&
            when->from == 0 && when->below == ELL_LENGTH_MAX;
        if (part->role == ROLE_TENSION_PULLEY && rule->per == PER_TRACK && free_of_others &&
            brought(catalogue, part, ROLE_TENSION_PULLEY_SCREW) > 0)
            covered |= when->control;
    }
    char where[64];
    snprintf(where, sizeof where, "systems[%zu].rules", at);
    return (covered & cords) == cords ||
           fault_set(fault, "no-tension-pulley", where,
                     "System \"%s\" is corded: a rule must give one tension pulley per track under every "
                     "condition, "
                     "and that part must need its own screws. This cannot be switched off.",
                     system->code);
}

/* One window's wishes, as far as conditions can ask for them. */
struct wish {
    int finish, substrate, control, position, place, draw;
};

static bool wish_meets(const struct condition *when, const struct wish *wish) {
    return (when->finish >> wish->finish & 1) && (when->substrate >> wish->substrate & 1) &&
           (when->control >> wish->control & 1) && (when->position >> wish->position & 1) &&
           (when->place >> wish->place & 1) && (when->draw >> wish->draw & 1);
}

/* Does some rule give a part of `role` whatever the length? From length 0 on, rule by rule. */
static bool covered(const struct catalogue *catalogue, const struct track_system *system, enum part_role role,
                    const struct wish *wish) {
    ell_length at = 0;
    for (bool moved = true; moved && at < ELL_LENGTH_MAX;) {
        moved = false;
        for (size_t i = 0; i < system->rule_count && !moved; i++) {
            const struct rule *rule = &system->rules[i];
            moved = catalogue->parts[rule->part].role == role && rule->when.from <= at &&
                    rule->when.below > at && wish_meets(&rule->when, wish);
            if (moved)
                at = rule->when.below;
        }
    }
    return at >= ELL_LENGTH_MAX;
}

static bool check_wish(const struct catalogue *catalogue, size_t at, const struct wish *wish,
                       struct fault *fault) {
    static const enum part_role needed[] = {ROLE_MOUNTING_BRACKET, ROLE_JOINING_BRACKET, ROLE_GLIDER};
    const struct track_system *system = &catalogue->systems[at];
    char where[64];
    snprintf(where, sizeof where, "systems[%zu].rules", at);
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++)
        if (!covered(catalogue, system, needed[i], wish))
            return fault_set(
                fault, "missing-part", where,
                "No rule gives a part with the role %s for finish %s, substrate %s, %s fixed %s, control %s, "
                "drawn %s at every length: the kit would lack it.",
                role_words[needed[i]], catalogue->finishes[wish->finish].code,
                catalogue->substrates[wish->substrate].code, position_words[wish->position],
                place_words[wish->place], control_words[wish->control], draw_words[wish->draw]);
    return true;
}

/* The rules as a whole leave no window of the system without brackets, joins and gliders. */
static bool check_cover(const struct catalogue *catalogue, size_t at, struct fault *fault) {
    const struct track_system *system = &catalogue->systems[at];
    int first = system->corded ? CONTROL_CORD_LEFT : CONTROL_HAND,
        last = system->corded ? CONTROL_CORD_RIGHT : first;
    struct wish wish;
    for (wish.finish = 0; wish.finish < (int)catalogue->finish_count; wish.finish++)
        for (wish.substrate = 0; wish.substrate < (int)catalogue->substrate_count; wish.substrate++)
            for (wish.control = first; wish.control <= last; wish.control++)
                for (int rest = 0; rest < 12 && (system->finishes >> wish.finish & 1); rest++) {
                    wish.position = rest % 2;
                    wish.place = rest / 2 % 2;
                    wish.draw = rest / 4;
                    if (!check_wish(catalogue, at, &wish, fault))
                        return false;
                }
    return true;
}

/* A bar must exist that yields the longest piece, and brackets must be able to stand within one piece. */
static bool check_lengths(const struct catalogue *catalogue, size_t at, struct fault *fault) {
    const struct track_system *system = &catalogue->systems[at];
    ell_length longest = 0;
    char where[64];
    for (size_t i = 0; i < system->bar_count; i++)
        longest = system->bars[i].length > longest ? system->bars[i].length : longest;
    snprintf(where, sizeof where, "systems[%zu].longest_piece", at);
    if (system->longest_piece > longest)
        return fault_set(fault, "out-of-range", where,
                         "No bar of the system is as long as its longest piece.");
    snprintf(where, sizeof where, "systems[%zu].longest_track", at);
    if (system->longest_track < system->shortest_piece)
        return fault_set(fault, "out-of-range", where,
                         "The longest track is shorter than the shortest piece.");
    return true;
}

bool catalogue_check(const struct catalogue *catalogue, struct fault *fault) {
    if (!check_needs(catalogue, fault) || !carriers_check(catalogue, fault))
        return false;
    for (size_t i = 0; i < catalogue->system_count; i++)
        if (!check_rules(catalogue, i, fault) || !check_fixings(catalogue, i, fault) ||
            !check_cord(catalogue, i, fault) || !check_cover(catalogue, i, fault) ||
            !check_lengths(catalogue, i, fault))
            return false;
    return true;
}
