/* Do brackets, screws and track carry the curtains, drawn shut and drawn open?
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/beam.h"
#include "takeoff/bow.h"
#include "takeoff/work.h"

#include <math.h>
#include <string.h>

/* Standard gravity in N/kg (3rd General Conference on Weights and Measures, 1901). */
static const double gravity = 9.80665;

/* The weaker of what is known so far and this part; parts without a rating carry no load. */
static void weaker(const struct part *part, double *rating, const char **name) {
    if (part->rating > 0 && part->rating < *rating) {
        *rating = part->rating;
        *name = part->name;
    }
}

void capacity_find(const struct takeoff *takeoff, struct capacity *capacity) {
    const struct track_system *system = takeoff->system;
    const struct fixing *fixing = takeoff->fixing;
    *capacity =
        (struct capacity){.bracket = INFINITY, .join = INFINITY, .track = system->profile.bracket_most};
    capacity->bracket_part = capacity->join_part = "bracket";
    capacity->screws = fixing == NULL ? INFINITY : fixing->safe_load * (double)fixing->screws;
    capacity->invented = system->profile.invented || (fixing != NULL && fixing->invented);
    for (size_t i = 0; i < system->rule_count; i++) {
        const struct rule *rule = &system->rules[i];
        const struct part *part = &takeoff->catalogue->parts[rule->part];
        bool base = part->role == ROLE_BASE_BRACKET;
        if (!condition_holds(&rule->when, takeoff))
            continue;
        if (base || part->role == ROLE_MOUNTING_BRACKET)
            weaker(part, &capacity->bracket, &capacity->bracket_part);
        if (base || part->role == ROLE_JOINING_BRACKET)
            weaker(part, &capacity->join, &capacity->join_part);
        capacity->invented = capacity->invented || (part->rating > 0 && part->invented);
    }
}

static void add_load(struct beam *beam, ell_length from, ell_length to, double grams) {
    if (to > from)
        beam->loads[beam->load_count++] = (struct beam_load){
            (double)from / 10, (double)to / 10, grams / 1000 * gravity / ((double)(to - from) / 10)};
}

/* Curtain `which` drawn shut over its share of the run, or standing open at its end. */
static void add_curtain(const struct takeoff *takeoff, struct beam *beam, size_t which, bool open) {
    ell_length begin = end_allowance(takeoff), end = takeoff->overall - begin, meeting = takeoff->overall / 2;
    bool pair = takeoff->survey.draw == DRAW_PAIR,
         left = pair ? which == 0 : takeoff->survey.draw == DRAW_LEFT;
    ell_length share = pair ? (left ? meeting - begin : end - meeting) : end - begin;
    ell_length width = open ? length_least(share, left ? takeoff->stack_left : takeoff->stack_right) : share;
    add_load(beam, left ? begin : end - width, left ? begin + width : end, takeoff->curtains[which].weight);
}

_Static_assert((int)BEAM_SUPPORTS >= (int)TAKEOFF_MARKS, "every mark is a support");

/* The joints of a split hand no moment on: splices held by grub screws must not be counted on for that. */
static void open_beam(const struct takeoff *takeoff, const struct takeoff_split *split, struct beam *beam) {
    const struct system_profile *profile = &takeoff->system->profile;
    beam->length = (double)takeoff->overall / 10;
    beam->rigidity = profile->stiffness * profile->inertia;
    beam->support_count = takeoff->mark_count;
    for (size_t i = 0; i < takeoff->mark_count; i++) {
        beam->supports[i] = (double)takeoff->marks[i].from_left / 10;
        beam->hinges[i] = false;
        for (size_t j = 0; j + 1 < split->piece_count; j++)
            beam->hinges[i] = beam->hinges[i] || split->joins[j] == takeoff->marks[i].from_left;
    }
}

/* What is allowed, with room for rounding. */
static const double all_of_it = 1 + 1e-9;

static void raise(double *use, double to) {
    if (to > *use)
        *use = to;
}

/* What is asked of brackets and profile, whichever way it was worked out. */
static void raise_uses(const struct takeoff *takeoff, const struct capacity *capacity,
                       const struct beam *beam, const struct beam_answer *answer, struct takeoff_state *state,
                       struct takeoff_hanging *hanging, bool *over) {
    const struct system_profile *profile = &takeoff->system->profile;
    for (size_t i = 0; i < beam->support_count; i++) {
        double force = fabs(answer->reactions[i]),
               rating = beam->hinges[i] ? capacity->join : capacity->bracket;
        if (state->bracket == SURVEY_UNKNOWN || force > state->reaction) {
            state->reaction = force;
            state->bracket = takeoff->marks[i].from_left;
        }
        over[i] = over[i] || force > fmin(rating, fmin(capacity->screws, capacity->track)) * all_of_it;
        raise(&hanging->bracket_use, force / rating);
        raise(&hanging->screw_use, force / capacity->screws);
        raise(&hanging->track_use, force / capacity->track);
    }
    raise(&state->moment, answer->moment);
    raise(&state->sag, answer->sag);
    raise(&hanging->bending_use, answer->moment / profile->section / profile->stress_most);
    raise(&hanging->sag_use, answer->sag_part * profile->sag_part);
}

/* How stiff a profile is against twist is not in the catalogue, and an open one is soft. A bent track is worked
 * out with a very soft one, a middling one and one as stiff as in bending; what any between these asks for is
 * covered by the margin (tests/reference/takeoff/test_bow.c). */
static const double twist_ratios[] = {0.002, 0.04, 1}, bend_margin = 1.08;

static void bend_beam(const struct takeoff *takeoff, const struct beam *beam, struct bow *bow) {
    static const double radian = 3.14159265358979323846 / 180;
    *bow = (struct bow){.beam = beam, .bend_count = takeoff->bend_count};
    for (size_t i = 0; i < takeoff->bend_count; i++) {
        const struct takeoff_bend *bend = &takeoff->bends[i];
        bow->bends[i] = (struct bow_bend){(double)bend->start / 10, (double)bend->length / 10,
                                          (180 - bend->angle) * radian};
    }
}

static void add_margin(struct beam_answer *answer, double margin) {
    for (size_t i = 0; i < BEAM_SUPPORTS; i++)
        answer->reactions[i] *= margin;
    answer->moment *= margin;
    answer->sag *= margin;
    answer->sag_part *= margin;
}

_Static_assert((int)BOW_BENDS >= (int)TAKEOFF_BENDS, "every bend of a bay");

/* Works one state out and lets it raise the uses. */
static void check_state(const struct takeoff *takeoff, const struct capacity *capacity,
                        const struct beam *beam, const char *name, struct takeoff_hanging *hanging,
                        bool *over) {
    struct beam_answer answer;
    struct takeoff_state *state = &hanging->states[hanging->state_count++];
    *state = (struct takeoff_state){.state = name, .bracket = SURVEY_UNKNOWN};
    if (takeoff->bend_count == 0) {
        beam_solve(beam, &answer);
        raise_uses(takeoff, capacity, beam, &answer, state, hanging, over);
    }
    for (size_t i = 0; takeoff->bend_count > 0 && i < sizeof twist_ratios / sizeof *twist_ratios; i++) {
        struct bow bow;
        double torque;
        bend_beam(takeoff, beam, &bow);
        bow.twist_ratio = twist_ratios[i];
        bow_solve(&bow, &answer, &torque);
        add_margin(&answer, bend_margin);
        raise_uses(takeoff, capacity, beam, &answer, state, hanging, over);
        raise(&hanging->torque, torque * bend_margin);
    }
    if (hanging->worst == SURVEY_UNKNOWN || state->reaction > hanging->reaction) {
        hanging->reaction = state->reaction;
        hanging->worst = state->bracket;
    }
}

static void note_limit(const struct capacity *capacity, struct takeoff_hanging *hanging) {
    hanging->limit = capacity->bracket;
    hanging->limit_by = capacity->bracket_part;
    if (capacity->screws < hanging->limit) {
        hanging->limit = capacity->screws;
        hanging->limit_by = "screws";
    }
    if (capacity->track < hanging->limit) {
        hanging->limit = capacity->track;
        hanging->limit_by = "track";
    }
}

bool hanging_check(const struct takeoff *takeoff, const struct capacity *capacity,
                   const struct takeoff_split *split, struct takeoff_hanging *hanging,
                   bool over[TAKEOFF_MARKS]) {
    static const struct {
        const char *name;
        bool pair_only, open[2];
    } states[TAKEOFF_STATES] = {{"shut", false, {false, false}},
                                {"open", false, {true, true}},
                                {"left-open", true, {true, false}},
                                {"right-open", true, {false, true}}};
    struct beam beam;
    double track = takeoff->system->mass * (double)takeoff->overall / 10000;
    *hanging = (struct takeoff_hanging){.worst = SURVEY_UNKNOWN, .track_weight = track};
    hanging->invented = capacity->invented;
    for (size_t i = 0; i < takeoff->curtain_count; i++)
        hanging->weight += takeoff->curtains[i].weight;
    open_beam(takeoff, split, &beam);
    for (size_t i = 0; i < TAKEOFF_STATES; i++) {
        if (states[i].pair_only && takeoff->curtain_count < 2)
            continue;
        beam.load_count = 0;
        add_load(&beam, 0, takeoff->overall, track);
        for (size_t c = 0; c < takeoff->curtain_count; c++)
            add_curtain(takeoff, &beam, c, states[i].open[c]);
        check_state(takeoff, capacity, &beam, states[i].name, hanging, over);
    }
    note_limit(capacity, hanging);
    return hanging->bracket_use <= all_of_it && hanging->screw_use <= all_of_it &&
           hanging->track_use <= all_of_it && hanging->bending_use <= all_of_it &&
           hanging->sag_use <= all_of_it;
}

void hanging_refuse(struct takeoff *takeoff, const struct capacity *capacity) {
    const struct takeoff_hanging *hanging = &takeoff->hanging;
    const struct {
        const char *code, *what;
        double use;
    } ways[] = {{"screw-overloaded", "screws in this substrate", hanging->screw_use},
                {"bracket-overloaded", capacity->bracket_part, hanging->bracket_use},
                {"track-overloaded", "track at a bracket", hanging->track_use},
                {"track-bends", "track in bending", hanging->bending_use},
                {"track-sags", "track between brackets (sag)", hanging->sag_use}};
    size_t worst = 0;
    for (size_t i = 1; i < sizeof ways / sizeof ways[0]; i++)
        if (ways[i].use > ways[worst].use)
            worst = i;
    bool screws = worst == 0, batten = takeoff->catalogue->substrates[takeoff->into].batten;
    char place[ELL_LENGTH_TEXT];
    advise(
        takeoff, ways[worst].code, SEVERITY_REFUSAL, "hanging",
        screws && !batten
            ? "Fix a timber batten first, hang a lighter curtain, or ask a competent fitter for a "
              "stronger fixing."
            : "Take a stronger system, hang a lighter curtain, or ask a competent fitter.",
        "Even at the closest lawful spacing the %s would be loaded %.0f %% beyond what is allowed; the worst "
        "bracket, %s mm from the left, would carry %.0f N.",
        ways[worst].what, ceil((ways[worst].use - 1) * 100), ell_length_text(hanging->worst, place),
        hanging->reaction);
}
