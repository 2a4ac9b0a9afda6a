/* Bays: from straights along the wall and the angles between them to a bent track.
 *
 * An inside angle a between two straights bends the track by t = 180 - a degrees. With radius r to the
 * neutral line an arc is r t (t in radians) long and begins r tan(t / 2) before the corner. A line that
 * runs p nearer the room than the wall loses p tan(t / 2) of each straight at each corner. Source: plane
 * geometry of the circle and its tangents. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <math.h>
#include <stdio.h>

static const double radian = 3.14159265358979323846 / 180;

static void refuse_bend(struct takeoff *takeoff, size_t corner) {
    const struct system_bends *bends = &takeoff->system->bends;
    advise(takeoff, "no-bend", SEVERITY_REFUSAL, "bay.angles", "Take a system that can be bent so far.",
           "The corner of %.1f degrees after straight %zu is outside the system's %.1f to %.1f degrees.",
           takeoff->survey.angles[corner], corner + 1, bends->angle_least, bends->angle_most);
}

/* Lays the straights and arcs end to end. Each is rounded on its own, so that a mirrored bay is the mirror
 * image. */
static bool lay_out(struct takeoff *takeoff, struct fault *fault) {
    const struct survey *survey = &takeoff->survey;
    const struct system_bends *bends = &takeoff->system->bends;
    ell_length at = 0;
    for (size_t i = 0; i < survey->straight_count; i++) {
        double lost = 0, radius = (double)bends->radius, projection = (double)bends->projection;
        if (i > 0)
            lost += (radius + projection) * tan((180 - survey->angles[i - 1]) * radian / 2);
        if (i + 1 < survey->straight_count)
            lost += (radius + projection) * tan((180 - survey->angles[i]) * radian / 2);
        ell_length straight = survey->straights[i] - (ell_length)llround(lost);
        char field[48], given[ELL_LENGTH_TEXT], least[ELL_LENGTH_TEXT];
        snprintf(field, sizeof field, "bay.straights[%zu]", i);
        if (straight < bends->straight_least)
            return wrong_field(
                takeoff, field, "contradiction", fault,
                "Between its bends this straight keeps %s mm; the system needs %s mm. Take a system "
                "with a smaller radius.",
                ell_length_text(straight, given), ell_length_text(bends->straight_least, least));
        at += straight;
        if (i + 1 == survey->straight_count)
            break;
        struct takeoff_bend *bend = &takeoff->bends[takeoff->bend_count++];
        bend->angle = survey->angles[i];
        bend->start = at;
        bend->length = (ell_length)llround(radius * (180 - bend->angle) * radian) + bends->allowance;
        at += bend->length;
        if (bend->angle < bends->angle_least || bend->angle > bends->angle_most)
            refuse_bend(takeoff, i);
    }
    takeoff->overall = at;
    return true;
}

bool step_bay(struct takeoff *takeoff, struct fault *fault) {
    if (!takeoff->system->bends.possible)
        return wrong_field(takeoff, "bay", "contradiction", fault,
                           "The system \"%s\" cannot be bent; take one that can, or a straight track.",
                           takeoff->system->code);
    if (!lay_out(takeoff, fault))
        return false;
    takeoff->run = takeoff->overall - 2 * end_allowance(takeoff);
    takeoff->twice_midpoint = takeoff->overall;
    return true;
}
