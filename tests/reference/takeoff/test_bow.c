/* The bent track against closed forms, against the straight beam, and against a general method: a grillage of
 * much finer chords in axes of the plan, its supports as extra equations, solved by LAPACK's dgesv. Sources:
 * circular bow girder, W. D. Pilkey, Formulas for Stress, Strain, and Structural Matrices (also Roark's
 * Formulas for Stress and Strain, curved beams loaded normal to the plane of curvature); the element is of any
 * textbook of matrix structural analysis. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/bow.h"

#include <criterion/criterion.h>
#include <lapacke.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

static const double pi = 3.14159265358979323846;
static uint64_t seed = 20261126;

static double draw(double low, double high) {
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

/* An arc on two brackets that hold it up and upright, under w along it, half its angle being a: in the middle
 * M = w r^2 (1 / cos a - 1), at the ends T = w r^2 (tan a - a); each bracket carries half. */
Test(bow, an_arc_on_two_brackets_has_a_closed_form) {
    for (int step = 1; step <= 12; step++) {
        double degrees = 5.0 * step, half = degrees * pi / 180, radius = 300, w = 0.05,
               length = 2 * radius * half, torque;
        struct beam beam = {.length = length,
                            .supports = {0, length},
                            .support_count = 2,
                            .loads = {{0, length, w}},
                            .load_count = 1,
                            .rigidity = 2e8};
        struct bow bow = {&beam, {{0, length, 2 * half}}, 1, 0.1};
        struct beam_answer answer;
        bow_solve(&bow, &answer, &torque);
        double moment = w * radius * radius * (1 / cos(half) - 1),
               twist = w * radius * radius * (tan(half) - half);
        cr_assert_float_eq(answer.moment / moment, 1, 0.01, "%g degrees: %g, closed form %g", degrees,
                           answer.moment, moment);
        cr_assert_float_eq(torque, twist, 0.02 * twist + 0.01 * moment, "%g degrees: %g, closed form %g",
                           degrees, torque, twist);
        cr_assert_float_eq(answer.reactions[0], w * length / 2, 1e-9 * w * length, "%g degrees", degrees);
    }
}

static void random_loads(struct beam *beam) {
    beam->load_count = 1 + (size_t)draw(0, 3);
    for (size_t i = 0; i < beam->load_count; i++) {
        double a = floor(draw(0, beam->length)), b = floor(draw(0, beam->length));
        beam->loads[i] = (struct beam_load){fmin(a, b), fmax(a, b) + 1, draw(0.001, 0.2)};
        beam->loads[i].to = fmin(beam->loads[i].to, beam->length);
    }
}

Test(bow, without_bends_it_is_the_beam) {
    for (int trial = 0; trial < 500; trial++) {
        struct beam beam = {.rigidity = draw(1e7, 1e9), .support_count = 2 + (size_t)draw(0, 8)};
        struct beam_answer straight, answer;
        double x = floor(draw(0, 150)), torque;
        for (size_t i = 0; i < beam.support_count; i++) {
            beam.supports[i] = x;
            beam.hinges[i] = i > 0 && i + 1 < beam.support_count && draw(0, 1) < 0.2;
            x += floor(draw(250, 600));
        }
        beam.length = beam.supports[beam.support_count - 1] + floor(draw(0, 150));
        random_loads(&beam);
        beam_solve(&beam, &straight);
        bow_solve(&(struct bow){.beam = &beam, .twist_ratio = 0.1}, &answer, &torque);
        double load = 0;
        for (size_t i = 0; i < beam.load_count; i++)
            load += beam.loads[i].intensity * (beam.loads[i].to - beam.loads[i].from);
        for (size_t i = 0; i < beam.support_count; i++)
            cr_assert_float_eq(answer.reactions[i], straight.reactions[i], 1e-7 * load,
                               "trial %d, support %zu", trial, i);
        cr_assert_float_eq(answer.moment, straight.moment, 1e-6 * straight.moment, "trial %d: moment %g, %g",
                           trial, answer.moment, straight.moment);
        cr_assert(answer.sag <= straight.sag * (1 + 1e-6) && answer.sag >= straight.sag * 0.99,
                  "trial %d: sag %g, %g", trial, answer.sag, straight.sag);
        cr_assert_float_eq(torque, 0, 1e-9 * load, "trial %d: twist %g", trial, torque);
    }
}

/* --- the general method */

enum { FINE = 150, HELD = 2 * 40, SIZE = 3 * FINE + HELD };

struct fine {
    double place[FINE], heading[FINE];
    size_t count;
};

static double heading_of(const struct bow *bow, double place) {
    double heading = 0;
    for (size_t i = 0; i < bow->bend_count; i++)
        if (place > bow->bends[i].start)
            heading += bow->bends[i].turn * fmin(place - bow->bends[i].start, bow->bends[i].length) /
                       bow->bends[i].length;
    return heading;
}

/* Every 3 degrees of a bend, every 80 mm or so of a straight, and at all supports and edges of loads. */
static void fine_nodes(const struct bow *bow, struct fine *fine) {
    const struct beam *beam = bow->beam;
    double at = 0;
    fine->count = 0;
    while (true) {
        fine->place[fine->count] = at;
        fine->heading[fine->count++] = heading_of(bow, at);
        cr_assert_lt(fine->count, FINE);
        if (at >= beam->length)
            break;
        double next = fmin(beam->length, at + 80);
        for (size_t i = 0; i < bow->bend_count; i++) {
            double start = bow->bends[i].start, end = start + bow->bends[i].length,
                   step = bow->bends[i].length * pi / 60 / bow->bends[i].turn;
            if (start > at + 1e-9)
                next = fmin(next, start);
            if (start <= at + 1e-9 && end > at + 1e-9)
                next = fmin(next, fmin(end, at + step));
        }
        for (size_t i = 0; i < beam->support_count; i++)
            if (beam->supports[i] > at + 1e-9)
                next = fmin(next, beam->supports[i]);
        for (size_t i = 0; i < beam->load_count; i++) {
            next = beam->loads[i].from > at + 1e-9 ? fmin(next, beam->loads[i].from) : next;
            next = beam->loads[i].to > at + 1e-9 ? fmin(next, beam->loads[i].to) : next;
        }
        at = next;
    }
}

static double load_between(const struct beam *beam, double from, double to) {
    double load = 0;
    for (size_t i = 0; i < beam->load_count; i++)
        if (beam->loads[i].from < (from + to) / 2 && beam->loads[i].to > (from + to) / 2)
            load += beam->loads[i].intensity * (to - from);
    return load;
}

/* Deflection in the middle of a chord: of the cubic through its ends, and of its load between fixed ends. */
static double middle_of(const struct bow *bow, const struct fine *fine, const double *found, size_t n) {
    double along = fine->place[n + 1] - fine->place[n], angle = (fine->heading[n] + fine->heading[n + 1]) / 2;
    double slopes = 0, load = load_between(bow->beam, fine->place[n], fine->place[n + 1]);
    slopes += (found[3 * n + 1] - found[3 * n + 4]) * cos(angle) +
              (found[3 * n + 2] - found[3 * n + 5]) * sin(angle);
    return (found[3 * n] + found[3 * n + 3]) / 2 + along * slopes / 8 +
           load * along * along * along / (384 * bow->beam->rigidity);
}

/* Unknowns of a node: deflection, and the slopes of a plane through it along x and y. */
static void solve_generally(const struct bow *bow, const struct fine *fine, double *reactions, double *sag) {
    static double matrix[SIZE * SIZE], right[SIZE];
    const struct beam *beam = bow->beam;
    size_t free = 3 * fine->count, size = free + 2 * beam->support_count;
    memset(matrix, 0, sizeof matrix);
    memset(right, 0, sizeof right);
    for (size_t e = 0; e + 1 < fine->count; e++) {
        double along = fine->place[e + 1] - fine->place[e], turn = fine->heading[e + 1] - fine->heading[e];
        double l = turn > 1e-12 ? 2 * along / turn * sin(turn / 2) : along, ei = beam->rigidity,
               gj = ei * bow->twist_ratio;
        double angle = (fine->heading[e] + fine->heading[e + 1]) / 2, c = cos(angle), s = sin(angle);
        double load = load_between(beam, fine->place[e], fine->place[e + 1]);
        /* Each column: what deflection (z), slope along (s) and slope across (t) at both ends do. */
        double zs[6] = {1, 0, 0, 0, 0, 0}, ss[6] = {0, c, s, 0, 0, 0}, ts[6] = {0, -s, c, 0, 0, 0};
        double ze[6] = {0, 0, 0, 1, 0, 0}, se[6] = {0, 0, 0, 0, c, s}, te[6] = {0, 0, 0, 0, -s, c};
        /* Energy of a cubic: with d = (ze - zs) / l, E I / l (4 a^2 + 4 a b + 4 b^2) / 2, a = ss - d, b = se - d. */
        for (size_t i = 0; i < 6; i++) {
            double di = (ze[i] - zs[i]) / l, ai = ss[i] - di, bi = se[i] - di, ti = te[i] - ts[i];
            right[3 * e + i] += load * ((zs[i] + ze[i]) / 2 + l * (ss[i] - se[i]) / 12);
            for (size_t j = 0; j < 6; j++) {
                double dj = (ze[j] - zs[j]) / l, aj = ss[j] - dj, bj = se[j] - dj, tj = te[j] - ts[j];
                matrix[(3 * e + i) * size + 3 * e + j] +=
                    ei / l * (4 * ai * aj + 2 * ai * bj + 2 * bi * aj + 4 * bi * bj) + gj / l * ti * tj;
            }
        }
    }
    for (size_t n = 0, held = 0; n < fine->count; n++)
        if (held < beam->support_count && fabs(fine->place[n] - beam->supports[held]) < 1e-6) {
            double c = cos(fine->heading[n]), s = sin(fine->heading[n]), scale = beam->rigidity / 1e6;
            const double up[3] = {1, 0, 0}, upright[3] = {0, -s * 100, c * 100};
            for (size_t i = 0; i < 3; i++) {
                size_t one = free + 2 * held;
                matrix[(3 * n + i) * size + one] = matrix[one * size + 3 * n + i] = up[i] * scale;
                matrix[(3 * n + i) * size + one + 1] = matrix[(one + 1) * size + 3 * n + i] =
                    upright[i] * scale;
            }
            held++;
        }
    lapack_int pivots[SIZE];
    lapack_int failed =
        LAPACKE_dgesv(LAPACK_ROW_MAJOR, (lapack_int)size, 1, matrix, (lapack_int)size, pivots, right, 1);
    cr_assert_eq(failed, 0, "dgesv says %d", (int)failed);
    for (size_t i = 0; i < beam->support_count; i++)
        reactions[i] = right[free + 2 * i] * beam->rigidity / 1e6;
    *sag = 0;
    for (size_t n = 0; n + 1 < fine->count; n++)
        *sag = fmax(*sag, fmax(fabs(middle_of(bow, fine, right, n)),
                               fmax(fabs(right[3 * n]), fabs(right[3 * n + 3]))));
}

/* Two to four straights with bends between them; brackets as a bay has them. */
static void random_bay(struct beam *beam, struct bow *bow) {
    size_t straights = 2 + (size_t)draw(0, 3);
    double x = 0;
    *beam = (struct beam){.rigidity = draw(1e8, 1e9)};
    *bow = (struct bow){.beam = beam};
    for (size_t i = 0; i < straights; i++) {
        double first = x + floor(draw(20, 120)), length = floor(draw(300, 1100)), gap;
        size_t count = 1 + (size_t)(length / 450) + (i == 0 || i + 1 == straights);
        gap = count > 1 ? floor(length / (double)(count - 1)) : 0;
        for (size_t j = 0; j < count; j++)
            beam->supports[beam->support_count++] = first + gap * (double)j;
        x = beam->supports[beam->support_count - 1] + floor(draw(20, 120));
        if (i + 1 == straights)
            break;
        double turn = draw(10, 90) * pi / 180, radius = draw(120, 300);
        bow->bends[bow->bend_count++] = (struct bow_bend){x, radius * turn, turn};
        x = ceil(x + radius * turn);
        bow->bends[bow->bend_count - 1].length = x - bow->bends[bow->bend_count - 1].start;
    }
    beam->length = x;
    random_loads(beam);
}

Test(bow, agrees_with_a_general_linear_solver_on_random_bays) {
    for (int trial = 0; trial < 60; trial++) {
        static struct fine fine;
        struct beam beam;
        struct bow bow;
        struct beam_answer answer;
        double reactions[BEAM_SUPPORTS] = {0}, sag, torque, load = 0;
        random_bay(&beam, &bow);
        bow.twist_ratio = pow(10, draw(-2.7, 0));
        fine_nodes(&bow, &fine);
        solve_generally(&bow, &fine, reactions, &sag);
        bow_solve(&bow, &answer, &torque);
        for (size_t i = 0; i < beam.load_count; i++)
            load += beam.loads[i].intensity * (beam.loads[i].to - beam.loads[i].from);
        for (size_t i = 0; i < beam.support_count; i++)
            cr_assert_float_eq(answer.reactions[i], reactions[i], 0.003 * load,
                               "trial %d, bracket %zu: %g N, LAPACK %g of %g", trial, i, answer.reactions[i],
                               reactions[i], load);
        cr_assert_float_eq(answer.sag / sag, 1, 0.03, "trial %d: sag %g, LAPACK %g", trial, answer.sag, sag);
    }
}

/* The take-off does not know how stiff a profile is against twist; it asks a soft, a middling and a stiff one and adds 8 %
 * (daemon/takeoff/hanging.c). Whatever the profile, the worst bracket, the moment and the sag ask for no more than that. */
Test(bow, three_profiles_and_a_margin_bound_all_between) {
    const double asked[] = {0.002, 0.04, 1}, margin = 1.08;
    for (int trial = 0; trial < 5000; trial++) {
        struct beam beam;
        struct bow bow;
        struct beam_answer answer;
        double torque, reaction = 0, moment = 0, sag = 0, most = 0;
        random_bay(&beam, &bow);
        for (size_t k = 0; k < 3; k++) {
            bow.twist_ratio = asked[k];
            bow_solve(&bow, &answer, &torque);
            for (size_t i = 0; i < beam.support_count; i++)
                reaction = fmax(reaction, fabs(answer.reactions[i]));
            moment = fmax(moment, answer.moment);
            sag = fmax(sag, answer.sag_part);
        }
        bow.twist_ratio = pow(10, draw(-2.7, 0));
        bow_solve(&bow, &answer, &torque);
        for (size_t i = 0; i < beam.support_count; i++)
            most = fmax(most, fabs(answer.reactions[i]));
        cr_assert_leq(most, reaction * margin, "trial %d: reaction %g, bound %g", trial, most, reaction);
        cr_assert_leq(answer.moment, moment * margin, "trial %d: moment %g, bound %g", trial, answer.moment,
                      moment);
        cr_assert_leq(answer.sag_part, sag * margin, "trial %d: sag %g, bound %g", trial, answer.sag_part,
                      sag);
    }
}
