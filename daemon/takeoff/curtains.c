/* What the curtain maker needs, and what the curtains weigh. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <math.h>

static ell_length or_else(ell_length given, ell_length otherwise) {
    return given == SURVEY_UNKNOWN ? otherwise : given;
}

/* From the hooks down to the floor, to the sill, or as measured. */
static bool find_drop(const struct takeoff *takeoff, ell_length *drop, struct fault *fault) {
    const struct survey *survey = &takeoff->survey;
    const struct survey_curtain *curtain = &survey->curtain;
    ell_length off = takeoff->system->allowances.hook_drop + or_else(curtain->clearance, 0);
    if (curtain->reach == REACH_DROP) {
        *drop = curtain->drop;
        return true;
    }
    if (takeoff->above == SURVEY_UNKNOWN)
        return wrong_field(takeoff, "ceiling", "missing-field", fault,
                           "A curtain from the ceiling needs its distance from the opening; measure it.");
    if (curtain->reach == REACH_FLOOR && takeoff->height == SURVEY_UNKNOWN)
        return wrong_field(
            takeoff, "floor", "missing-field", fault,
            "A curtain that reaches the floor needs the opening's distance from the floor; measure it.");
    *drop = (curtain->reach == REACH_FLOOR ? takeoff->height : survey->height + takeoff->above) - off;
    return *drop > 0 || wrong_field(takeoff, "curtain.clearance", "contradiction", fault,
                                    "The clearance leaves no curtain. Check height and clearance.");
}

/* Whole cloth widths for all curtains, shared evenly in halves; drops cut at whole pattern repeats. */
static void buy_cloth(struct takeoff *takeoff, ell_length flat_each) {
    const struct survey_curtain *curtain = &takeoff->survey.curtain;
    ell_length repeat = or_else(curtain->pattern_repeat, 0), cut = takeoff->curtains[0].cut_drop;
    takeoff->cloth_width = or_else(curtain->cloth_width, takeoff->catalogue->practice.cloth_width);
    int64_t count = (int64_t)takeoff->curtain_count;
    int64_t halves = divide_up(2 * flat_each, takeoff->cloth_width);
    takeoff->cloth_widths = divide_up(halves * count, 2);
    if (repeat > 0)
        cut = divide_up(cut, repeat) * repeat;
    takeoff->cloth = takeoff->cloth_widths * cut;
    for (size_t i = 0; i < takeoff->curtain_count; i++) {
        takeoff->curtains[i].half_widths = halves;
        takeoff->curtains[i].cut_drop = cut;
    }
}

bool step_curtains(struct takeoff *takeoff, struct fault *fault) {
    const struct survey_curtain *curtain = &takeoff->survey.curtain;
    const struct practice *practice = &takeoff->catalogue->practice;
    const struct heading *heading = catalogue_heading(takeoff->catalogue, curtain->heading);
    bool pair = takeoff->survey.draw == DRAW_PAIR;
    ell_length drop = 0, overlap = pair ? or_else(curtain->overlap, practice->overlap) : 0;
    if (!find_drop(takeoff, &drop, fault))
        return false;
    ell_length share = pair ? divide_up(takeoff->run + overlap, 2) : takeoff->run;
    ell_length back = or_else(curtain->back, 0), width = share + back * (pair ? 1 : 2);
    ell_length flat = (ell_length)ceil(curtain->fullness * (double)width - 1e-6) + 2 * practice->side_hem;
    ell_length cut =
        drop + or_else(curtain->hem, practice->hem) + or_else(curtain->heading_allowance, heading->allowance);
    double grams =
        (double)flat / 10000 * (double)cut / 10000 * (curtain->face + curtain->lining + curtain->interlining);
    takeoff->curtain_count = pair ? 2 : 1;
    for (size_t i = 0; i < takeoff->curtain_count; i++)
        takeoff->curtains[i] = (struct takeoff_curtain){
            .side = !pair    ? "single"
                    : i == 0 ? "left"
                             : "right",
            .width = width,
            .drop = drop,
            .flat = flat,
            .cut_drop = cut,
            .overlap = overlap,
            .back = back,
            .hooks = divide_up(width, heading->hook_pitch) + 1,
            .weight = grams,
        };
    buy_cloth(takeoff, flat);
    return true;
}
