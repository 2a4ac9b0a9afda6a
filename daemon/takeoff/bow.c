/* A banded grillage along one line. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/bow.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum {
    EDGES = BEAM_SUPPORTS + 2 * BEAM_LOADS + 2 * BOW_BENDS + 2,
    NODES = EDGES + 32 * BOW_BENDS, /* a bend turns by less than 180 degrees */
    UNKNOWNS = 3 * NODES + BEAM_SUPPORTS,
    BAND = 7 /* an unknown and those after it that it shares an element with */
};

static const double arc_most = 0.131; /* radians of one element: 7.5 degrees */

/* Unknowns of a node: deflection (downward), slope along the track and twist about it; where the track is
 * jointed one slope more, that to the right. */
struct node {
    double place, heading;
    size_t first;
    size_t support; /* or SIZE_MAX */
    bool jointed;
};
struct element {
    double length, heading, load;
    size_t at[6];      /* unknowns: deflection, slope, twist of its left end, then of its right */
    double turn[6][6]; /* from the unknowns to its own axes; the unit matrix where it is straight */
    bool straight;
};
struct grid {
    const struct bow *bow;
    struct node nodes[NODES];
    size_t node_count, size;
    double band[UNKNOWNS][BAND], value[UNKNOWNS];
    bool held[UNKNOWNS];
};

static int by_size(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

static double heading_at(const struct bow *bow, double place) {
    double heading = 0;
    for (size_t i = 0; i < bow->bend_count; i++) {
        double part = (place - bow->bends[i].start) / bow->bends[i].length;
        heading += bow->bends[i].turn * fmax(0, fmin(1, part));
    }
    return heading;
}

static size_t edges_of(const struct bow *bow, double edges[EDGES]) {
    const struct beam *beam = bow->beam;
    size_t count = 0, kept = 0;
    edges[count++] = 0;
    edges[count++] = beam->length;
    for (size_t i = 0; i < beam->support_count; i++)
        edges[count++] = beam->supports[i];
    for (size_t i = 0; i < beam->load_count; i++) {
        edges[count++] = beam->loads[i].from;
        edges[count++] = beam->loads[i].to;
    }
    for (size_t i = 0; i < bow->bend_count; i++) {
        edges[count++] = bow->bends[i].start;
        edges[count++] = bow->bends[i].start + bow->bends[i].length;
    }
    qsort(edges, count, sizeof *edges, by_size);
    for (size_t i = 0; i < count; i++)
        if (kept == 0 || edges[i] - edges[kept - 1] > 1e-6)
            edges[kept++] = edges[i];
    return kept;
}

static void add_node(struct grid *grid, double place) {
    const struct beam *beam = grid->bow->beam;
    struct node *node = &grid->nodes[grid->node_count++];
    *node = (struct node){place, heading_at(grid->bow, place), grid->size, SIZE_MAX, false};
    for (size_t i = 0; i < beam->support_count; i++)
        if (fabs(beam->supports[i] - place) <= 1e-6)
            node->support = i;
    node->jointed = node->support != SIZE_MAX && beam->hinges[node->support];
    size_t more = node->jointed ? 4 : 3;
    memset(grid->band[grid->size], 0, more * sizeof grid->band[0]);
    memset(&grid->value[grid->size], 0, more * sizeof grid->value[0]);
    for (size_t i = 0; i < more; i++)
        grid->held[grid->size + i] = node->support != SIZE_MAX && (i == 0 || i == 2);
    grid->size += more;
}

/* An element is exact whatever its length; only bends are cut into several. */
static void make_nodes(struct grid *grid) {
    double edges[EDGES];
    size_t count = edges_of(grid->bow, edges);
    grid->node_count = grid->size = 0;
    for (size_t i = 0; i + 1 < count; i++) {
        double turn = heading_at(grid->bow, edges[i + 1]) - heading_at(grid->bow, edges[i]);
        int parts = turn == 0 ? 1 : (int)fmax(4, ceil(fabs(turn) / arc_most));
        for (int part = 0; part < parts; part++)
            add_node(grid, edges[i] + (edges[i + 1] - edges[i]) * part / parts);
    }
    add_node(grid, edges[count - 1]);
}

static double load_at(const struct beam *beam, double place) {
    double load = 0;
    for (size_t i = 0; i < beam->load_count; i++)
        if (beam->loads[i].from <= place && beam->loads[i].to > place)
            load += beam->loads[i].intensity;
    return load;
}

/* A chord of its arc, with all that hangs on the arc. */
static void make_element(const struct grid *grid, size_t index, struct element *element) {
    const struct node *left = &grid->nodes[index], *right = left + 1;
    double along = right->place - left->place, half = (right->heading - left->heading) / 2;
    element->heading = left->heading + half;
    element->straight = half == 0;
    element->length = element->straight ? along : along * sin(half) / half;
    element->load = load_at(grid->bow->beam, left->place + along / 2) * along / element->length;
    memset(element->turn, 0, sizeof element->turn);
    for (size_t end = 0; end < 2; end++) {
        const struct node *node = end == 0 ? left : right;
        double angle = element->heading - node->heading;
        size_t at = 3 * end;
        element->at[at] = node->first;
        element->at[at + 1] = node->first + (end == 0 && node->jointed ? 3 : 1);
        element->at[at + 2] = node->first + 2;
        element->turn[at][at] = 1;
        element->turn[at + 1][at + 1] = element->turn[at + 2][at + 2] = cos(angle);
        element->turn[at + 1][at + 2] = sin(angle);
        element->turn[at + 2][at + 1] = -sin(angle);
    }
}

/* Stiffness in its own axes, and what its load asks of the ends. */
static void own_stiffness(const struct bow *bow, const struct element *element, double stiff[6][6],
                          double load[6]) {
    double l = element->length, k = bow->beam->rigidity / (l * l * l), w = element->load;
    double twist = bow->twist_ratio * bow->beam->rigidity / l;
    const double bend[4][4] = {{12, 6 * l, -12, 6 * l},
                               {6 * l, 4 * l * l, -6 * l, 2 * l * l},
                               {-12, -6 * l, 12, -6 * l},
                               {6 * l, 2 * l * l, -6 * l, 4 * l * l}};
    static const size_t place[4] = {0, 1, 3, 4};
    memset(stiff, 0, 36 * sizeof(double));
    for (size_t i = 0; i < 4; i++)
        for (size_t j = 0; j < 4; j++)
            stiff[place[i]][place[j]] = k * bend[i][j];
    stiff[2][2] = stiff[5][5] = twist;
    stiff[2][5] = stiff[5][2] = -twist;
    load[0] = load[3] = w * l / 2;
    load[1] = w * l * l / 12;
    load[4] = -load[1];
    load[2] = load[5] = 0;
}

/* Both in the axes of the unknowns. */
static void turn_stiffness(const struct element *element, double stiff[6][6], double load[6]) {
    double half[6][6] = {{0}}, whole[6][6] = {{0}}, force[6] = {0};
    for (size_t i = 0; i < 6; i++)
        for (size_t j = 0; j < 6; j++)
            for (size_t m = 0; m < 6; m++)
                half[i][j] += stiff[i][m] * element->turn[m][j];
    for (size_t i = 0; i < 6; i++)
        for (size_t m = 0; m < 6; m++) {
            force[i] += element->turn[m][i] * load[m];
            for (size_t j = 0; j < 6; j++)
                whole[i][j] += element->turn[m][i] * half[m][j];
        }
    memcpy(stiff, whole, sizeof whole);
    memcpy(load, force, sizeof force);
}

static void add_element(struct grid *grid, const struct element *element) {
    double stiff[6][6], load[6];
    own_stiffness(grid->bow, element, stiff, load);
    if (!element->straight)
        turn_stiffness(element, stiff, load);
    for (size_t i = 0; i < 6; i++) {
        grid->value[element->at[i]] += load[i];
        for (size_t j = 0; j < 6; j++)
            if (element->at[j] >= element->at[i])
                grid->band[element->at[i]][element->at[j] - element->at[i]] += stiff[i][j];
    }
}

/* Symmetric and, with two supports or more, positive definite: elimination in the band needs no exchange. */
static void solve_band(struct grid *grid) {
    size_t size = grid->size;
    for (size_t row = 0; row < size; row++)
        for (size_t j = 0; j < BAND && row + j < size; j++)
            if (grid->held[row] || grid->held[row + j])
                grid->band[row][j] = j == 0 ? 1 : 0;
    for (size_t row = 0; row < size; row++) {
        if (grid->held[row])
            grid->value[row] = 0;
        for (size_t i = 1; i < BAND && row + i < size; i++) {
            double factor = grid->band[row][i] / grid->band[row][0];
            for (size_t j = i; factor != 0 && j < BAND && row + j < size; j++)
                grid->band[row + i][j - i] -= factor * grid->band[row][j];
            grid->value[row + i] -= factor * grid->value[row];
        }
    }
    for (size_t row = size; row-- > 0;) {
        for (size_t j = 1; j < BAND && row + j < size; j++)
            grid->value[row] -= grid->band[row][j] * grid->value[row + j];
        grid->value[row] /= grid->band[row][0];
    }
}

/* The bracket-to-bracket length that a place lies in; an overhang counts twice. */
static double span_at(const struct beam *beam, double place) {
    size_t next = 0;
    while (next < beam->support_count && beam->supports[next] <= place)
        next++;
    if (next == 0)
        return 2 * beam->supports[0];
    if (next == beam->support_count)
        return 2 * (beam->length - beam->supports[next - 1]);
    return beam->supports[next] - beam->supports[next - 1];
}

static void see_sag(const struct beam *beam, double place, double sag, struct beam_answer *answer) {
    double span = span_at(beam, place), size = fabs(sag);
    if (span > 0)
        answer->sag_part = fmax(answer->sag_part, size / span);
    if (size > answer->sag) {
        answer->sag = size;
        answer->sag_at = place;
    }
}

/* The cubic through its ends, and what its own load adds to it. */
static double sag_within(const struct element *element, const double own[6], double part, double rigidity) {
    double l = element->length, x = part, y = 1 - part;
    double ends = own[0] * y * y * (1 + 2 * x) + own[3] * x * x * (1 + 2 * y);
    double slopes = l * x * y * (own[1] * y - own[4] * x);
    return ends + slopes + element->load * l * l * l * l * x * x * y * y / (24 * rigidity);
}

/* What an element's ends do and what is greatest within it. */
static void read_element(const struct grid *grid, size_t index, struct beam_answer *answer, double *torque) {
    const struct beam *beam = grid->bow->beam;
    const struct node *left = &grid->nodes[index], *right = left + 1;
    struct element element;
    double stiff[6][6], load[6], own[6] = {0}, ends[6] = {0}, force[6];
    make_element(grid, index, &element);
    own_stiffness(grid->bow, &element, stiff, load);
    for (size_t i = 0; i < 6; i++)
        for (size_t j = 0; j < 6; j++)
            own[i] += element.turn[i][j] * grid->value[element.at[j]];
    for (size_t i = 0; i < 6; i++) {
        force[i] = -load[i];
        for (size_t j = 0; j < 6; j++)
            force[i] += stiff[i][j] * own[j];
    }
    for (size_t i = 0; i < 6; i++)
        for (size_t j = 0; j < 6; j++)
            ends[i] += element.turn[j][i] * force[j];
    if (left->support != SIZE_MAX) {
        answer->reactions[left->support] -= ends[0];
        answer->moments[left->support] = ends[1];
    }
    if (right->support != SIZE_MAX) {
        answer->reactions[right->support] -= ends[3];
        answer->moments[right->support] = -ends[4];
    }
    double shear = -force[0], w = element.load, l = element.length;
    answer->moment = fmax(answer->moment, fmax(fabs(ends[1]), fabs(ends[4])));
    if (w > 0 && shear > 0 && shear < w * l)
        answer->moment = fmax(answer->moment, fabs(force[1] + shear * shear / (2 * w)));
    *torque = fmax(*torque, fmax(fabs(ends[2]), fabs(ends[5])));
    int parts = element.straight ? 12 : 1;
    for (int part = 0; part <= parts; part++)
        see_sag(beam, left->place + (right->place - left->place) * part / parts,
                sag_within(&element, own, (double)part / parts, beam->rigidity), answer);
}

void bow_solve(const struct bow *bow, struct beam_answer *answer, double *torque) {
    struct grid grid;
    memset(answer, 0, sizeof *answer);
    *torque = 0;
    grid.bow = bow;
    make_nodes(&grid);
    for (size_t i = 0; i + 1 < grid.node_count; i++) {
        struct element element;
        make_element(&grid, i, &element);
        add_element(&grid, &element);
    }
    solve_band(&grid);
    for (size_t i = 0; i + 1 < grid.node_count; i++)
        read_element(&grid, i, answer, torque);
}
