/* Random surveys for tests and benchmarks: any position, control, substrate, size.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TESTS_SURVEYS_H
#define ELLWAND_TESTS_SURVEYS_H

#include "common/text.h"
#include "takeoff/survey.h"

#include <string.h>

/* A small generator of its own, so that every run sees the same windows (constants of Knuth's MMIX). */
struct dice {
    uint64_t state;
};

static inline int64_t roll(struct dice *dice, int64_t least, int64_t most) {
    dice->state = dice->state * 6364136223846793005u + 1442695040888963407u;
    return least + (int64_t)((dice->state >> 11) % (uint64_t)(most - least + 1));
}

/* Mostly whole millimetres, sometimes tenths. */
static inline ell_length roll_length(struct dice *dice, int64_t least_mm, int64_t most_mm) {
    ell_length length = roll(dice, least_mm, most_mm) * ELL_MM;
    return roll(dice, 0, 3) == 0 ? length + roll(dice, 0, 9) : length;
}

static inline ell_length roll_maybe(struct dice *dice, int64_t least_mm, int64_t most_mm) {
    return roll(dice, 0, 2) == 0 ? SURVEY_UNKNOWN : roll_length(dice, least_mm, most_mm);
}

static inline void roll_opening(struct dice *dice, struct survey *survey) {
    survey->position = (enum position)roll(dice, 0, 1);
    survey->place = (enum place)roll(dice, 0, 1);
    survey->widths[0] = survey->width = roll_length(dice, 400, roll(dice, 0, 3) == 0 ? 8000 : 3500);
    for (int i = 1; i < 3; i++)
        survey->widths[i] = survey->width + (survey->place == PLACE_INSIDE ? roll(dice, 0, 200) : 0);
    survey->height = roll_length(dice, 500, 2500);
    survey->ceiling = roll(dice, 0, 9) == 0 ? SURVEY_UNKNOWN : roll_length(dice, 40, 800);
    survey->floor = roll(dice, 0, 9) == 0 ? SURVEY_UNKNOWN : roll_length(dice, 0, 1200);
    survey->wall_left = roll_maybe(dice, 120, 1500);
    survey->wall_right = roll_maybe(dice, 120, 1500);
}

/* A bay for the systems of the demonstration that can be bent; always fixed outside. */
static inline void roll_bay(struct dice *dice, struct survey *survey) {
    survey->place = PLACE_OUTSIDE;
    survey->straight_count = (size_t)roll(dice, 2, 4);
    survey->width = 0;
    for (size_t i = 0; i < survey->straight_count; i++) {
        survey->straights[i] = roll_length(dice, 650, 2200);
        survey->width += survey->straights[i];
    }
    for (size_t i = 0; i + 1 < survey->straight_count; i++)
        survey->angles[i] = (double)roll(dice, 115, 170);
    for (int i = 0; i < 3; i++)
        survey->widths[i] = survey->width;
}

static inline void roll_curtain(struct dice *dice, struct survey_curtain *curtain) {
    static const char *const headings[] = {"pencil", "pinch", "wave"};
    *curtain = (struct survey_curtain){.reach = REACH_DROP, .drop = roll_length(dice, 400, 3200)};
    text_copy(curtain->heading, sizeof curtain->heading, headings[roll(dice, 0, 2)]);
    curtain->clearance = SURVEY_UNKNOWN;
    curtain->fullness = (double)roll(dice, 12, 28) / 10;
    curtain->face = (double)roll(dice, 80, 600);
    curtain->lining = roll(dice, 0, 1) == 0 ? 0 : (double)roll(dice, 100, 250);
    curtain->interlining = roll(dice, 0, 3) == 0 ? (double)roll(dice, 150, 400) : 0;
    curtain->thickness = roll(dice, 0, 1) == 0 ? SURVEY_UNKNOWN : roll(dice, 5, 40);
    curtain->hem = curtain->heading_allowance = curtain->overlap = SURVEY_UNKNOWN;
    curtain->back = roll_maybe(dice, 0, 100);
    curtain->cloth_width = curtain->pattern_repeat = SURVEY_UNKNOWN;
}

/* One window for the systems of sql/demo/catalogue.json. */
static inline void roll_survey(struct dice *dice, struct survey *survey) {
    static const char *const systems[] = {"LARK", "WREN", "KITE"};
    static const char *const walls[] = {"timber-batten", "timber",   "masonry", "studs",
                                        "hollow",        "concrete", "steel"};
    *survey = (struct survey){.path = "w", .window = "W", .children = roll(dice, 0, 1) == 0};
    int64_t system = roll(dice, 0, 2);
    text_copy(survey->system, sizeof survey->system, systems[system]);
    text_copy(survey->finish, sizeof survey->finish, "WH");
    text_copy(survey->substrate, sizeof survey->substrate, walls[roll(dice, 0, 6)]);
    roll_opening(dice, survey);
    if (system != 1 && roll(dice, 0, 9) == 0)
        roll_bay(dice, survey);
    survey->batten = roll(dice, 0, 3) == 0;
    survey->control =
        system == 0 ? CONTROL_HAND : (enum control)roll(dice, CONTROL_CORD_LEFT, CONTROL_CORD_RIGHT);
    survey->draw = (enum draw)roll(dice, 0, 2);
    survey->carrier_longest = roll(dice, 0, 2) == 0 ? roll_length(dice, 1500, 3000) : SURVEY_UNKNOWN;
    survey->cord_drop = roll_maybe(dice, 500, 3000);
    survey->measure_confirmed = roll(dice, 0, 1) == 0;
    roll_curtain(dice, &survey->curtain);
}

#endif
