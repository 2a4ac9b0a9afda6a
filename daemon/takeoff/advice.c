/* What the fitter, the order desk and the customer must be told. The words are this project's own; where
 * loads, cords or tools can hurt they leave the last word to local rules and a competent person.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <inttypes.h>

#define NOTE SEVERITY_NOTE
#define CAUTION SEVERITY_CAUTION

static void advise_measures(struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    ell_length widest = length_most(survey->widths[0], length_most(survey->widths[1], survey->widths[2]));
    char one[ELL_LENGTH_TEXT], two[ELL_LENGTH_TEXT];
    if (survey->place == PLACE_INSIDE && widest - survey->width > takeoff->catalogue->practice.recess_spread)
        advise(takeoff, "recess-out-of-square", CAUTION, "widths",
               "Measure again; if it is so, the curtain will show the slant.",
               "The three widths differ by %s mm; the smallest, %s mm, was used.",
               ell_length_text(widest - survey->width, one), ell_length_text(survey->width, two));
    if (survey->measure_confirmed)
        advise(takeoff, "measure-confirmed", NOTE, "measure_confirmed", "Nothing, if the measures are right.",
               "Unusual measures were let through because the survey confirms them.");
    if (takeoff->height == SURVEY_UNKNOWN)
        advise(takeoff, "height-unknown", NOTE, "floor",
               "Measure from the floor to the opening, and to the ceiling.",
               "The height of the track above the floor is not known, so its checks were left out.");
    if (survey->place == PLACE_OUTSIDE && survey->straight_count == 0 &&
        (survey->wall_left == SURVEY_UNKNOWN || survey->wall_right == SURVEY_UNKNOWN))
        advise(takeoff, "wall-unknown", NOTE, "wall_left", "Measure the free wall on both sides.",
               "The free wall beside the opening was not measured; the track may not find its room.");
    if (survey->batten && takeoff->catalogue->substrates[takeoff->wall].batten)
        advise(takeoff, "batten-twice", NOTE, "batten", "Give the wall behind the batten as substrate.",
               "The survey names a batten and the batten itself as the wall.");
}

static void advise_room(struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    const struct system_allowances *allowances = &takeoff->system->allowances;
    char one[ELL_LENGTH_TEXT], two[ELL_LENGTH_TEXT];
    bool face_outside = survey->place == PLACE_OUTSIDE && survey->position == POSITION_FACE;
    if (face_outside && takeoff->above < allowances->above && !takeoff->refused)
        advise(takeoff, "track-lowered", NOTE, "ceiling", "Nothing, if more light above is not wanted.",
               "The track sits %s mm above the opening, not %s mm, to keep clear of the ceiling.",
               ell_length_text(takeoff->above, one), ell_length_text(allowances->above, two));
    if (survey->place == PLACE_OUTSIDE && survey->straight_count == 0 && takeoff->daylight_lost > 0)
        advise(takeoff, "short-wall", CAUTION, "wall_left",
               "Take a thinner cloth, or let the customer agree to it.",
               "The wall has no room for the whole open curtain: %s mm of the opening stay covered.",
               ell_length_text(takeoff->daylight_lost, one));
    ell_length end = end_allowance(takeoff);
    if (survey->place == PLACE_OUTSIDE && survey->straight_count == 0 &&
        (takeoff->past_left < end || takeoff->past_right < end))
        advise(takeoff, "opening-uncovered", CAUTION, "wall_left",
               "Take a system without pulleys, or fix inside the recess.",
               "The wall is so short beside the opening that the shut curtains do not cover all of it.");
    if ((survey->place == PLACE_INSIDE || survey->straight_count > 0) && takeoff->daylight_lost > 0)
        advise(takeoff, "stack-inside", NOTE, "draw", "Fix outside the recess where the light matters.",
               "Open curtains stand within the opening and take %s mm of it.",
               ell_length_text(takeoff->daylight_lost, one));
    if (takeoff->height != SURVEY_UNKNOWN &&
        takeoff->curtains[0].drop + allowances->hook_drop > takeoff->height)
        advise(takeoff, "drop-too-long", CAUTION, "curtain.drop",
               "Check the drop, or agree that it lies on the floor.",
               "A drop of %s mm from a track %s mm high reaches the floor and lies on it.",
               ell_length_text(takeoff->curtains[0].drop, one), ell_length_text(takeoff->height, two));
    if (takeoff->mark_count > 0 && !takeoff->even)
        advise(takeoff, "uneven-brackets", NOTE, "brackets",
               "Mark each bracket from the list, not by halving.",
               "No lawful spacing is even from the midpoint here; the brackets are spread between the ends.");
    if (takeoff->overall > takeoff->system->longest_track)
        advise(takeoff, "track-too-long", SEVERITY_REFUSAL, "width",
               "Hang two tracks side by side, or take another system.",
               "The track would be %s mm; the system goes to %s mm.", ell_length_text(takeoff->overall, one),
               ell_length_text(takeoff->system->longest_track, two));
}

static bool meet(ell_length from_a, ell_length to_a, ell_length from_b, ell_length to_b) {
    return from_a < to_b && from_b < to_a;
}

/* A thing on the wall behind the curtain, or in the way of the drill. Heights are known only when the floor
 * is. */
static void advise_near(struct takeoff *takeoff, const struct survey_near *thing) {
    const struct practice *practice = &takeoff->catalogue->practice;
    bool hot = thing->what == NEAR_RADIATOR || thing->what == NEAR_HEATER;
    ell_length gap = hot ? practice->heater_gap : 0, left = -takeoff->past_left;
    ell_length right = left + takeoff->overall, top = takeoff->height;
    bool beside = meet(left - gap, right + gap, thing->from_left, thing->from_left + thing->width);
    ell_length lower = top - takeoff->system->allowances.hook_drop - takeoff->curtains[0].drop;
    bool behind =
        top == SURVEY_UNKNOWN || meet(lower - gap, top, thing->from_floor, thing->from_floor + thing->height);
    const char *what = near_words[thing->what];
    if (thing->what == NEAR_PIPE || thing->what == NEAR_CABLE) {
        bool drilled = top == SURVEY_UNKNOWN || meet(top - practice->heater_gap, top + practice->heater_gap,
                                                     thing->from_floor, thing->from_floor + thing->height);
        if (beside && drilled)
            advise(takeoff, "drill-near-service", CAUTION, "near",
                   "Find it with a detector, switch off and drill clear of it; when in doubt ask an "
                   "electrician or plumber.",
                   "A %s runs where brackets are drilled.", what);
        return;
    }
    if (!beside || !behind)
        return;
    if (hot)
        advise(takeoff, "curtain-at-heater", CAUTION, "near",
               "Let the curtain end above it or stand beside it, and follow the heater maker's distances.",
               "The curtain hangs over or too near a %s: it can scorch or burn, and keeps the warmth from "
               "the room.",
               what);
    else
        advise(takeoff, "curtain-over-fitting", CAUTION, "near",
               "Move one of them, or agree on it with the customer.", "The curtain covers a %s.", what);
}

/* What the curtain maker and the one who hangs the curtains must know. */
static void advise_curtains(struct takeoff *takeoff) {
    int64_t hooks = takeoff->curtains[0].hooks * (int64_t)takeoff->curtain_count, gliders = 0;
    bool arm = false;
    for (size_t i = 0; i < takeoff->part_count; i++) {
        enum part_role role = takeoff->catalogue->parts[takeoff->parts[i].part].role;
        if (role == ROLE_GLIDER || role == ROLE_LEAD_GLIDER)
            gliders += takeoff->parts[i].quantity;
        arm = arm || role == ROLE_OVERLAP_ARM;
    }
    if (hooks > gliders)
        advise(takeoff, "more-hooks", NOTE, "curtains", "Set the hooks wider, or add gliders.",
               "The curtains have %" PRId64 " hooks, the track %" PRId64 " gliders.", hooks, gliders);
    if (arm && takeoff->system->corded)
        advise(takeoff, "overlap-arm-side", NOTE, "parts", "Screw it on before the curtains are hung.",
               "The overlap arm goes on the lead glider on the cord's side, at the %s.",
               takeoff->survey.control == CONTROL_CORD_LEFT ? "left" : "right");
}

static void advise_cord(struct takeoff *takeoff) {
    const struct practice *practice = &takeoff->catalogue->practice;
    char one[ELL_LENGTH_TEXT];
    if (!takeoff->system->corded)
        return;
    advise(takeoff, "cord-loop", CAUTION, "cord",
           "Fit the tension pulley directly under the loop with both its screws, so that the loop is taut, "
           "before the "
           "curtain is used. Local law and the standards for corded blinds decide what is allowed.",
           "A cord loop can strangle a small child.");
    if (takeoff->height == SURVEY_UNKNOWN)
        return;
    ell_length lower = takeoff->height - takeoff->cord_drop;
    if (takeoff->survey.children && lower < practice->child_height)
        advise(takeoff, "cord-in-reach", CAUTION, "cord",
               "Better take a hand-drawn track here; keep beds, chairs and toys away from the cord.",
               "Children may be in the room and the loop ends %s mm above the floor, within their reach.",
               ell_length_text(lower, one));
    if (lower > practice->cord_reach)
        advise(takeoff, "cord-out-of-reach", CAUTION, "cord_drop", "Give a longer cord drop.",
               "The cord ends %s mm above the floor, too high to be reached.", ell_length_text(lower, one));
}

static void advise_fixing(struct takeoff *takeoff) {
    const struct substrate *wall = &takeoff->catalogue->substrates[takeoff->wall];
    const struct fixing *fixing = takeoff->fixing;
    if (fixing == NULL)
        return;
    if (takeoff->survey.batten)
        advise(
            takeoff, "batten-first", CAUTION, "batten",
            "Let a competent person choose screws and plugs for the batten; the list holds only the track's.",
            "The batten carries track and curtains and must itself be fixed safely into: %s.", wall->name);
    else if (!takeoff->catalogue->substrates[takeoff->into].batten)
        advise(takeoff, "batten-better", NOTE, "substrate", "Fix a batten where it can be hidden.",
               "A timber batten is the preferred ground to screw into.");
    if (fixing->plug != SIZE_MAX && !fixing->suits)
        advise(takeoff, "plugs-may-not-suit", CAUTION, "substrate",
               "Judge the wall on site and take plugs to suit it.",
               "The plugs in the kit may not suit this wall.");
    if (wall->judge[0] != '\0')
        advise(takeoff, "judge-wall", CAUTION, "substrate",
               "A competent person judges the wall on site; local rules come "
               "first.",
               "%s", wall->judge);
    advise(takeoff, "hidden-services", CAUTION, "brackets",
           "Use a detector before drilling; keep off the lines above, below and beside sockets, switches and "
           "taps.",
           "Pipes and cables may run behind the wall or ceiling.");
}

static void advise_loads(struct takeoff *takeoff) {
    const struct takeoff_hanging *hanging = &takeoff->hanging;
    if (hanging->state_count == 0)
        return;
    if (hanging->invented)
        advise(takeoff, "invented-ratings", CAUTION, "hanging",
               "Put your makers' own ratings into the catalogue.",
               "The ratings behind this check are invented for demonstration and prove nothing.");
    advise(takeoff, "check-loads", NOTE, "hanging",
           "Compare with the fixing maker's data; a competent person judges the wall itself.",
           "The check covers hanging weight at rest: nobody may pull hard or hang on the curtain.");
    if (takeoff->bend_count > 0)
        advise(
            takeoff, "bends-twist", NOTE, "bay",
            "Hold each bend with the brackets marked beside it, and ask their maker whether they hold the "
            "track upright.",
            "The check takes each bend as a bow that its brackets hold upright; they must hold a twist of up "
            "to %.1f N m.",
            hanging->torque / 1000);
}

static void advise_work(struct takeoff *takeoff) {
    const struct practice *practice = &takeoff->catalogue->practice;
    if (takeoff->overall >= practice->two_person_from)
        advise(takeoff, "two-people", CAUTION, "overall", "Two people lift and click it in.",
               "The track is too long for one person to lift safely.");
    if (takeoff->height == SURVEY_UNKNOWN || takeoff->height >= practice->ladder_from)
        advise(takeoff, "ladder", CAUTION, "height", "Use a sound ladder on firm ground, and have it held.",
               "The track is fixed above reach.");
    advise(takeoff, "saw", CAUTION, "pieces", "Clamp the bar, guard the blade, wear eye and ear protection.",
           "Sawn metal is sharp and throws chips.");
    advise(takeoff, "deburr", NOTE, "pieces", "File every cut end inside and out before anything is slid in.",
           "Burrs cut hands and cord and stop the gliders.");
    if (takeoff->split_count > 0 && takeoff->splits[0].piece_count > 1) {
        bool carrier = takeoff->survey.carrier_longest != SURVEY_UNKNOWN &&
                       takeoff->survey.carrier_longest < takeoff->system->longest_piece;
        char longest[ELL_LENGTH_TEXT];
        advise(takeoff, "joined", NOTE, "pieces",
               "Join on a flat bench, then lift the whole; a join sits in its bracket.",
               "The track is made of %zu pieces: the %s takes %s mm at most.", takeoff->splits[0].piece_count,
               carrier ? "carrier" : "system",
               ell_length_text(carrier ? takeoff->survey.carrier_longest : takeoff->system->longest_piece,
                               longest));
    }
    if (takeoff->splits_capped)
        advise(takeoff, "more-splits", NOTE, "splits",
               "Nothing: the preferred way is listed first, the others are spread over the whole track.",
               "It could be joined in %s%" PRId64
               " ways; at most %d of them are listed, and a cutting plan is the best for those listed only.",
               takeoff->ways == TAKEOFF_WAYS ? "at least " : "", takeoff->ways, TAKEOFF_SPLITS);
}

void step_advice(struct takeoff *takeoff) {
    advise_measures(takeoff);
    advise_room(takeoff);
    for (size_t i = 0; i < takeoff->survey.near_count; i++)
        advise_near(takeoff, &takeoff->survey.near[i]);
    advise_curtains(takeoff);
    advise_cord(takeoff);
    advise_fixing(takeoff);
    advise_loads(takeoff);
    advise_work(takeoff);
}
