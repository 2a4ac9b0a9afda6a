/* The beam against published tables, their figures written down from memory: American Institute of Steel
 * Construction, Steel Construction Manual, 14th edition, table 3-22c "Continuous beams, moment and shear
 * coefficients, equal spans, equally loaded" and table 3-23 "Shears, moments and deflections" (diagram
 * numbers beside each check). Tables give three figures, formulas are exact.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/beam.h"

#include <criterion/criterion.h>
#include <math.h>

static const double l = 450, w = 0.02, ei = 69000.0 * 3200;

/* The manual rounds some reactions so that they add up to the load, hence 0.0007. Equal spans, `loaded` a
 * text of 1 and 0. */
static struct beam_answer equal_spans(const char *loaded) {
    struct beam beam = {.rigidity = ei};
    struct beam_answer answer;
    size_t spans = 0;
    for (; loaded[spans] != '\0'; spans++) {
        beam.supports[spans] = (double)spans * l;
        if (loaded[spans] == '1')
            beam.loads[beam.load_count++] = (struct beam_load){(double)spans * l, (double)(spans + 1) * l, w};
    }
    beam.supports[spans] = beam.length = (double)spans * l;
    beam.support_count = spans + 1;
    beam_solve(&beam, &answer);
    return answer;
}

static void near(double got, double wanted, double within, const char *what) {
    cr_assert(fabs(got - wanted) <= within, "%s: %.6g, the table says %.6g", what, got, wanted);
}

struct table_row {
    const char *loaded, *source;
    double reactions[6], moments[6]; /* in w l and w l^2 */
    double span_moment;              /* greatest anywhere between supports or over them, w l^2 */
    double sag, sag_at;              /* in w l^4 / EI and l; 0: the table does not say */
};

Test(beam, equal_spans_as_in_the_manual) {
    static const struct table_row rows[] = {
        {"1", "table 3-23, 1", {0.5, 0.5}, {0}, 0.125, 5.0 / 384, 0.5},
        {"11", "table 3-22c", {0.375, 1.25, 0.375}, {0, -0.125}, 0.125, 1.0 / 185, 0.4215},
        {"10", "table 3-23, 29", {0.4375, 0.625, -0.0625}, {0, -0.0625}, 0.0957, 0.0092, 0.472},
        {"111", "table 3-22c; 3-23, 36", {0.4, 1.1, 1.1, 0.4}, {0, -0.1, -0.1}, 0.1, 0.0069, 0.446},
        {"110", "table 3-23, 34", {0.383, 1.2, 0.45, -0.033}, {0, -0.1167, -0.0333}, 0.1167, 0.0059, 0.43},
        {"101", "table 3-23, 35", {0.45, 0.55, 0.55, 0.45}, {0, -0.05, -0.05}, 0.1013, 0.0099, 0.479},
        {"1111",
         "table 3-22c; 3-23, 39",
         {0.393, 1.143, 0.929, 1.143, 0.393},
         {0, -0.1071, -0.0714, -0.1071},
         0.1071,
         0.0065,
         0.44},
        {"1101",
         "table 3-23, 37",
         {0.38, 1.223, 0.357, 0.598, 0.442},
         {0, -0.1205, -0.0179, -0.058},
         0.1205,
         0.0094,
         4 - 0.475},
        {"1010",
         "table 3-23, 38",
         {0.446, 0.572, 0.464, 0.572, -0.054},
         {0, -0.0536, -0.0357, -0.0536},
         0.0996,
         0.0097,
         0.477},
        {"11111",
         "table 3-22c",
         {0.395, 1.132, 0.974, 0.974, 1.132, 0.395},
         {0, -0.105, -0.079, -0.079, -0.105},
         0.105,
         0,
         0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct beam_answer answer = equal_spans(rows[i].loaded);
        for (size_t k = 0; k < 6; k++) {
            near(answer.reactions[k] / (w * l), rows[i].reactions[k], 0.0007, rows[i].source);
            near(answer.moments[k] / (w * l * l), rows[i].moments[k], 0.00055, rows[i].source);
        }
        near(answer.moment / (w * l * l), rows[i].span_moment, 0.00055, rows[i].source);
        if (rows[i].sag > 0) {
            near(answer.sag * ei / (w * l * l * l * l), rows[i].sag, 0.00006, rows[i].source);
            double at = answer.sag_at / l, spans = (double)strlen(rows[i].loaded);
            double mirrored = fmin(fabs(at - rows[i].sag_at), fabs(spans - at - rows[i].sag_at));
            cr_assert(mirrored < 0.002, "%s: sag at %.4f l", rows[i].source, at);
        }
    }
}

/* Exact: five equal spans carry 15/38, 43/38, 37/38 of w l (the same table, before rounding, from the three
 * moments). */
Test(beam, five_equal_spans_exactly) {
    struct beam_answer answer = equal_spans("11111");
    near(answer.reactions[0], w * l * 15 / 38, 1e-12, "end");
    near(answer.reactions[1], w * l * 43 / 38, 1e-12, "second");
    near(answer.reactions[2], w * l * 37 / 38, 1e-12, "third");
}

/* Table 3-23, 24: beam overhanging one support, uniformly loaded. */
Test(beam, overhang_under_uniform_load) {
    const double a = 130;
    struct beam beam = {.length = l + a, .rigidity = ei, .support_count = 2, .load_count = 1};
    struct beam_answer answer;
    beam.supports[1] = l;
    beam.loads[0] = (struct beam_load){0, l + a, w};
    beam_solve(&beam, &answer);
    near(answer.reactions[0], w / (2 * l) * (l * l - a * a), 1e-9, "R1");
    near(answer.reactions[1], w / (2 * l) * (l + a) * (l + a), 1e-9, "R2");
    near(answer.moments[1], -w * a * a / 2, 1e-9, "M2");
    near(answer.moment, w / (8 * l * l) * (l + a) * (l + a) * (l - a) * (l - a), 1e-9, "M1");
}

/* Table 3-23, 25: uniform load on the overhang only; the span rises by 0.0321 w a^2 l^2 / EI at 0.577 l. */
Test(beam, load_on_the_overhang_only) {
    const double a = 300;
    struct beam beam = {.length = l + a, .rigidity = ei, .support_count = 2, .load_count = 1};
    struct beam_answer answer;
    beam.supports[1] = l;
    beam.loads[0] = (struct beam_load){l, l + a, w};
    beam_solve(&beam, &answer);
    near(answer.reactions[0], -w * a * a / (2 * l), 1e-9, "R1 holds down");
    near(answer.reactions[1], w * a / (2 * l) * (2 * l + a), 1e-9, "R2");
    near(answer.sag, w * a * a * a / (24 * ei) * (4 * l + 3 * a), 1e-9, "tip");
    near(answer.sag_at, l + a, 1e-9, "where");
}

/* The same with a left overhang so short that the span's own rise is what is greatest. */
Test(beam, the_span_rises_beside_a_short_overhang) {
    const double a = 40, rise = w * a * a * l * l / (9 * sqrt(3) * 2 * ei);
    struct beam beam = {.length = l + a, .rigidity = ei, .support_count = 2, .load_count = 1};
    struct beam_answer answer;
    beam.supports[0] = a;
    beam.supports[1] = l + a;
    beam.loads[0] = (struct beam_load){0, a, w};
    beam_solve(&beam, &answer);
    near(answer.sag, fmax(rise, w * a * a * a / (24 * ei) * (4 * l + 3 * a)), 1e-12, "rise or tip");
    near(answer.sag_part, fmax(rise / l, w * a * a * a / (24 * ei) * (4 * l + 3 * a) / (2 * a)), 1e-12,
         "part");
}

/* Table 3-23, 4: simple beam, uniform load over b beginning at a. */
Test(beam, simple_beam_under_a_part_load) {
    const double a = 90, b = 200, c = l - a - b, r1 = w * b / (2 * l) * (2 * c + b);
    struct beam beam = {.length = l, .rigidity = ei, .support_count = 2, .load_count = 1};
    struct beam_answer answer;
    beam.supports[1] = l;
    beam.loads[0] = (struct beam_load){a, a + b, w};
    beam_solve(&beam, &answer);
    near(answer.reactions[0], r1, 1e-9, "R1");
    near(answer.reactions[1], w * b - r1, 1e-9, "R2");
    near(answer.moment, r1 * (a + r1 / (2 * w)), 1e-9, "M");
}

/* A joint over a support makes simple beams of its two sides (table 3-23, 1 twice). */
Test(beam, a_joint_hands_no_moment_on) {
    struct beam beam = {.length = 2 * l, .rigidity = ei, .support_count = 3, .load_count = 1};
    struct beam_answer answer;
    beam.supports[1] = l;
    beam.supports[2] = 2 * l;
    beam.hinges[1] = true;
    beam.loads[0] = (struct beam_load){0, 2 * l, w};
    beam_solve(&beam, &answer);
    near(answer.reactions[1], w * l, 1e-9, "middle");
    near(answer.moments[1], 0, 1e-12, "joint");
    near(answer.sag, 5 * w * l * l * l * l / (384 * ei), 1e-12, "sag");
}
