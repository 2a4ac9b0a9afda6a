/* The beam against a general method and a general solver: a stiffness matrix of two-node beam elements
 * (exact at the nodes for uniform loads; any finite element textbook) solved by LAPACK's dgesv, on random
 * beams. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/beam.h"

#include <criterion/criterion.h>
#include <lapacke.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { NODES = 160, UNKNOWNS = 3 * NODES };

static uint64_t seed = 20261125;

static double draw(double low, double high) {
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

/* Whole millimetres, so that no element becomes so short that the general method loses its figures. */
static double draw_place(double low, double high) {
    return floor(draw(low, high + 1));
}

static void random_beam(struct beam *beam) {
    size_t supports = 2 + (size_t)draw(0, 9);
    double x = draw_place(0, 150);
    *beam = (struct beam){.rigidity = draw(1e7, 1e9), .support_count = supports};
    for (size_t i = 0; i < supports; i++) {
        beam->supports[i] = x;
        beam->hinges[i] = i > 0 && i + 1 < supports && draw(0, 1) < 0.15;
        x += draw_place(100, 600);
    }
    beam->length = beam->supports[supports - 1] + draw_place(0, 150);
    beam->load_count = 1 + (size_t)draw(0, 4);
    for (size_t i = 0; i < beam->load_count; i++) {
        double a = draw_place(0, beam->length - 1), b = draw_place(0, beam->length - 1);
        beam->loads[i] = (struct beam_load){fmin(a, b), fmax(a, b), draw(0.001, 0.2)};
    }
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Nodes at all supports and load edges and some between. */
static size_t nodes_of(const struct beam *beam, double *nodes) {
    double all[NODES];
    size_t count = 0, kept = 0;
    for (size_t i = 0; i < beam->support_count; i++)
        all[count++] = beam->supports[i];
    for (size_t i = 0; i < beam->load_count; i++) {
        all[count++] = beam->loads[i].from;
        all[count++] = beam->loads[i].to;
    }
    for (int i = 0; i <= 100; i++)
        all[count++] = floor(beam->length * i / 100);
    qsort(all, count, sizeof *all, by_size);
    for (size_t i = 0; i < count; i++)
        if (kept == 0 || all[i] - nodes[kept - 1] > 1e-6)
            nodes[kept++] = all[i];
    return kept;
}

struct solution {
    double sags[NODES], reactions[BEAM_SUPPORTS];
    size_t count;
};

static size_t support_at(const struct beam *beam, double x) {
    for (size_t i = 0; i < beam->support_count; i++)
        if (fabs(beam->supports[i] - x) < 1e-6)
            return i;
    return SIZE_MAX;
}

/* Unknowns of node n: 3n sag, 3n + 1 slope to its left, 3n + 2 slope to its right (equal unless jointed). */
static void solve_generally(const struct beam *beam, const double *nodes, struct solution *solution) {
    static double matrix[UNKNOWNS * UNKNOWNS], right[UNKNOWNS], stiff[UNKNOWNS * UNKNOWNS], force[UNKNOWNS];
    size_t size = 3 * solution->count;
    memset(stiff, 0, sizeof stiff);
    memset(force, 0, sizeof force);
    for (size_t e = 0; e + 1 < solution->count; e++) {
        double l = nodes[e + 1] - nodes[e], k = beam->rigidity / (l * l * l), w = 0;
        double local[4][4] = {{12, 6 * l, -12, 6 * l},
                              {6 * l, 4 * l * l, -6 * l, 2 * l * l},
                              {-12, -6 * l, 12, -6 * l},
                              {6 * l, 2 * l * l, -6 * l, 4 * l * l}};
        size_t at[4] = {3 * e, 3 * e + 2, 3 * e + 3, 3 * e + 4};
        for (size_t i = 0; i < beam->load_count; i++)
            if (beam->loads[i].from < nodes[e] + l / 2 && beam->loads[i].to > nodes[e] + l / 2)
                w += beam->loads[i].intensity;
        double loads[4] = {w * l / 2, w * l * l / 12, w * l / 2, -w * l * l / 12};
        for (size_t i = 0; i < 4; i++) {
            force[at[i]] += loads[i];
            for (size_t j = 0; j < 4; j++)
                stiff[at[i] * size + at[j]] += k * local[i][j];
        }
    }
    memcpy(matrix, stiff, size * size * sizeof *matrix);
    memcpy(right, force, size * sizeof *right);
    for (size_t n = 0; n < solution->count; n++) {
        size_t support = support_at(beam, nodes[n]);
        bool jointed = support != SIZE_MAX && beam->hinges[support];
        if (!jointed) { /* the two slopes are one: their rows add up, and the spare row says so */
            for (size_t j = 0; j < size; j++) {
                matrix[(3 * n + 1) * size + j] += matrix[(3 * n + 2) * size + j];
                matrix[(3 * n + 2) * size + j] = 0;
            }
            right[3 * n + 1] += right[3 * n + 2];
            right[3 * n + 2] = 0;
            matrix[(3 * n + 2) * size + 3 * n + 1] = beam->rigidity;
            matrix[(3 * n + 2) * size + 3 * n + 2] = -beam->rigidity;
        }
        if (support != SIZE_MAX) {
            memset(&matrix[3 * n * size], 0, size * sizeof *matrix);
            matrix[3 * n * size + 3 * n] = beam->rigidity;
            right[3 * n] = 0;
        }
    }
    lapack_int pivots[UNKNOWNS];
    lapack_int failed =
        LAPACKE_dgesv(LAPACK_ROW_MAJOR, (lapack_int)size, 1, matrix, (lapack_int)size, pivots, right, 1);
    cr_assert_eq(failed, 0, "dgesv says %d", (int)failed);
    for (size_t n = 0; n < solution->count; n++) {
        size_t support = support_at(beam, nodes[n]);
        solution->sags[n] = right[3 * n];
        if (support == SIZE_MAX)
            continue;
        double push = -force[3 * n];
        for (size_t j = 0; j < size; j++)
            push += stiff[3 * n * size + j] * right[j];
        solution->reactions[support] = -push;
    }
}

Test(beam, agrees_with_a_general_linear_solver_on_random_beams) {
    for (int trial = 0; trial < 60; trial++) {
        static struct solution solution;
        struct beam beam;
        struct beam_answer answer;
        double nodes[NODES], load = 0, greatest = 0;
        random_beam(&beam);
        solution.count = nodes_of(&beam, nodes);
        solve_generally(&beam, nodes, &solution);
        beam_solve(&beam, &answer);
        for (size_t i = 0; i < beam.load_count; i++)
            load += beam.loads[i].intensity * (beam.loads[i].to - beam.loads[i].from);
        for (size_t i = 0; i < beam.support_count; i++)
            cr_assert_lt(fabs(answer.reactions[i] - solution.reactions[i]), 1e-6 * load,
                         "trial %d, support %zu: %.9g, LAPACK %.9g", trial, i, answer.reactions[i],
                         solution.reactions[i]);
        for (size_t i = 0; i < solution.count; i++)
            greatest = fmax(greatest, fabs(solution.sags[i]));
        /* The nodes stand 1 % of the beam apart: the greatest of theirs is a little below the true one, never above. */
        cr_assert(answer.sag >= greatest * (1 - 1e-6) && answer.sag <= greatest * 1.05,
                  "trial %d: sag %.9g, nodes %.9g", trial, answer.sag, greatest);
    }
}

Test(beam, loads_and_reactions_balance_in_force_and_moment) {
    for (int trial = 0; trial < 20000; trial++) {
        struct beam beam;
        struct beam_answer answer;
        double force = 0, turn = 0, load = 0;
        random_beam(&beam);
        beam_solve(&beam, &answer);
        for (size_t i = 0; i < beam.load_count; i++) {
            double sum = beam.loads[i].intensity * (beam.loads[i].to - beam.loads[i].from);
            load += sum;
            force -= sum;
            turn -= sum * (beam.loads[i].to + beam.loads[i].from) / 2;
        }
        for (size_t i = 0; i < beam.support_count; i++) {
            force += answer.reactions[i];
            turn += answer.reactions[i] * beam.supports[i];
        }
        cr_assert(fabs(force) < 1e-9 * load + 1e-12, "trial %d: %g N left over", trial, force);
        cr_assert(fabs(turn) < 1e-9 * load * beam.length + 1e-9, "trial %d: %g N mm left over", trial, turn);
    }
}
