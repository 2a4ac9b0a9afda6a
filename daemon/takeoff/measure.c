/* Lengths: how far the track passes the opening, how long it is, how high it hangs.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <math.h>
#include <string.h>

static bool ask_back(const struct takeoff *takeoff, const char *field, ell_length length,
                     const struct span *span, struct fault *fault) {
    if (takeoff->survey.measure_confirmed || length == SURVEY_UNKNOWN ||
        (length >= span->least && length <= span->most))
        return true;
    char given[ELL_LENGTH_TEXT], low[ELL_LENGTH_TEXT], high[ELL_LENGTH_TEXT];
    return wrong_field(
        takeoff, field, "check-measure", fault,
        "%s mm%s is unusual (%s to %s mm is usual). Was it meant in cm or inches? Measure again and mend it, "
        "or confirm it (\"measure_confirmed\": true).",
        ell_length_text(length, given), strcmp(field, "ceiling") == 0 ? " from floor to ceiling" : "",
        ell_length_text(span->least, low), ell_length_text(span->most, high));
}

static bool check_measures(const struct takeoff *takeoff, struct fault *fault) {
    const struct survey *survey = &takeoff->survey;
    const struct practice *practice = &takeoff->catalogue->practice;
    const char *field = survey->place == PLACE_INSIDE ? "widths" : "width";
    for (int i = 0; i < 3; i++)
        if (!ask_back(takeoff, survey->straight_count > 0 ? "bay.straights" : field, survey->widths[i],
                      &practice->width, fault))
            return false;
    ell_length drop = survey->curtain.reach == REACH_DROP ? survey->curtain.drop : SURVEY_UNKNOWN;
    bool whole = survey->floor != SURVEY_UNKNOWN && survey->ceiling != SURVEY_UNKNOWN;
    ell_length room = whole ? survey->floor + survey->height + survey->ceiling : SURVEY_UNKNOWN;
    return ask_back(takeoff, "height", survey->height, &practice->height, fault) &&
           ask_back(takeoff, "curtain.drop", drop, &practice->drop, fault) &&
           ask_back(takeoff, "ceiling", room, &practice->room, fault);
}

/* Width that one open curtain takes up: its layers side by side. Whole millimetres, rounded up; bounded, for cloth
 * so thick that it could not be drawn at all. */
static ell_length stack_of(const struct takeoff *takeoff, ell_length run) {
    const struct survey_curtain *curtain = &takeoff->survey.curtain;
    const struct heading *heading = catalogue_heading(takeoff->catalogue, curtain->heading);
    ell_length thickness = curtain->thickness == SURVEY_UNKNOWN ? takeoff->catalogue->practice.cloth_thickness
                                                                : curtain->thickness;
    double share = takeoff->survey.draw == DRAW_PAIR ? 0.5 : 1;
    double flat = curtain->fullness * share * (double)run;
    double layers = flat / (double)heading->fold_depth;
    double width = ceil(layers * (double)thickness * heading->packing / 10 - 1e-9);
    return (ell_length)fmin(width, (double)ELL_LENGTH_MAX / 10) * ELL_MM;
}

ell_length end_allowance(const struct takeoff *takeoff) {
    return takeoff->system->corded ? takeoff->system->allowances.pulley : 0;
}

/* What the wall leaves at one side for the curtain, pulley taken off. */
static ell_length side_within(ell_length wanted, ell_length wall, ell_length end) {
    return wall == SURVEY_UNKNOWN ? wanted : length_least(wanted, wall - end);
}

/* Outside: the stack widens the run and the run the stack; the sides grow until both agree, which takes a few
 * rounds. Cloth so thick that they never agree runs into the bound of stack_of. */
static void measure_outside(struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    const struct system_allowances *allowances = &takeoff->system->allowances;
    ell_length end = end_allowance(takeoff), stack = 0, left = 0, right = 0;
    for (int round = 0; round < 40; round++) {
        bool stands_left = survey->draw != DRAW_RIGHT, stands_right = survey->draw != DRAW_LEFT;
        left = side_within(length_most(allowances->side, stands_left ? stack : 0), survey->wall_left, end);
        right = side_within(length_most(allowances->side, stands_right ? stack : 0), survey->wall_right, end);
        ell_length next = stack_of(takeoff, survey->width + left + right);
        if (next == stack)
            break;
        stack = next;
    }
    takeoff->past_left = left + end;
    takeoff->past_right = right + end;
    takeoff->run = survey->width + left + right;
    takeoff->overall = takeoff->run + 2 * end;
    takeoff->twice_midpoint = 2 * takeoff->past_left + survey->width;
    takeoff->stack_left = survey->draw != DRAW_RIGHT ? stack : 0;
    takeoff->stack_right = survey->draw != DRAW_LEFT ? stack : 0;
    takeoff->daylight_lost =
        length_most(0, takeoff->stack_left - left) + length_most(0, takeoff->stack_right - right);
}

/* Within an opening or a bay the open curtains stand in the light. */
static void measure_stacks(struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    ell_length stack = takeoff->run > 0 ? stack_of(takeoff, takeoff->run) : 0;
    takeoff->stack_left = survey->draw != DRAW_RIGHT ? stack : 0;
    takeoff->stack_right = survey->draw != DRAW_LEFT ? stack : 0;
    takeoff->daylight_lost = length_least(takeoff->run, takeoff->stack_left + takeoff->stack_right);
}

static void measure_inside(struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    takeoff->overall = survey->width - takeoff->system->allowances.recess;
    takeoff->run = takeoff->overall - 2 * end_allowance(takeoff);
    takeoff->past_left = takeoff->past_right = -takeoff->system->allowances.recess / 2;
    takeoff->twice_midpoint = takeoff->overall;
    measure_stacks(takeoff);
}

/* The fixing line above the opening's upper edge. */
static void measure_height(struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    const struct system_allowances *allowances = &takeoff->system->allowances;
    if (survey->place == PLACE_INSIDE)
        takeoff->above = survey->position == POSITION_TOP ? 0 : -allowances->ceiling;
    else if (survey->position == POSITION_TOP)
        takeoff->above = survey->ceiling;
    else if (survey->ceiling == SURVEY_UNKNOWN || survey->ceiling >= allowances->above + allowances->ceiling)
        takeoff->above = allowances->above;
    else
        takeoff->above = survey->ceiling - allowances->ceiling;
    if (survey->place == PLACE_OUTSIDE && survey->position == POSITION_FACE &&
        takeoff->above < allowances->above_least) {
        char least[ELL_LENGTH_TEXT], given[ELL_LENGTH_TEXT];
        advise(
            takeoff, "too-near-ceiling", SEVERITY_REFUSAL, "ceiling",
            "Fix it to the ceiling (position \"top\"), or take a system that needs less clearance.",
            "Only %s mm from the opening to the ceiling: the track could not be clicked onto its brackets; "
            "at least %s mm is needed.",
            ell_length_text(survey->ceiling, given),
            ell_length_text(allowances->above_least + allowances->ceiling, least));
    }
    bool known = survey->floor != SURVEY_UNKNOWN && takeoff->above != SURVEY_UNKNOWN;
    takeoff->height = known ? survey->floor + survey->height + takeoff->above : SURVEY_UNKNOWN;
}

bool step_measure(struct takeoff *takeoff, struct fault *fault) {
    if (!check_measures(takeoff, fault))
        return false;
    if (takeoff->survey.straight_count > 0) {
        if (!step_bay(takeoff, fault))
            return false;
        measure_stacks(takeoff);
    } else if (takeoff->survey.place == PLACE_INSIDE) {
        measure_inside(takeoff);
    } else {
        measure_outside(takeoff);
    }
    takeoff->midpoint = inward_half(takeoff->twice_midpoint, takeoff->overall);
    if (takeoff->run >= ELL_LENGTH_MAX ||
        takeoff->stack_left + takeoff->stack_right > length_most(0, takeoff->run))
        return wrong_field(
            takeoff, "curtain.thickness", "contradiction", fault,
            "Open, the curtains would be wider than the track. Check thickness, fullness and heading.");
    measure_height(takeoff);
    takeoff->stack_rule = takeoff->system->allowances.side;
    takeoff->cut_total = takeoff->overall - 2 * takeoff->system->allowances.end_part;
    if (takeoff->run < takeoff->system->shortest_piece || takeoff->cut_total <= 0)
        return wrong_field(
            takeoff, takeoff->survey.place == PLACE_INSIDE ? "widths" : "width", "contradiction", fault,
            "Opening and walls leave no run for a curtain. Check the widths and the free wall.");
    return true;
}
