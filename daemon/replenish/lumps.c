/* SPDX-License-Identifier: Apache-2.0 */
#include "replenish/lumps.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELLS = 2048 };

/* Probabilities of sums, by cells, CELLS + 1 of each: of a lead time, and while it is put together. */
struct sums {
    const size_t *week; /* each week's cells */
    size_t count;
    double *whole, *at, *next;
};

static void add_week(struct sums *sums) {
    memset(sums->next, 0, (CELLS + 1) * sizeof *sums->next);
    for (size_t cell = 0; cell <= CELLS; cell++)
        if (sums->at[cell] > 0)
            for (size_t i = 0; i < sums->count; i++) {
                size_t sum = cell + sums->week[i];
                sums->next[sum < CELLS ? sum : CELLS] += sums->at[cell] / (double)sums->count;
            }
}

/* Adds what a lead time of `length` weeks takes, which has this share of all. */
static void add_length(struct sums *sums, double length, double share) {
    size_t full = length > 0 ? (size_t)floor(length + 1e-9) : 0;
    double part = length - (double)full;
    memset(sums->at, 0, (CELLS + 1) * sizeof *sums->at);
    sums->at[0] = 1;
    for (size_t i = 0; i < full; i++) {
        add_week(sums);
        memcpy(sums->at, sums->next, (CELLS + 1) * sizeof *sums->at);
    }
    part = part > 1e-9 ? part : 0;
    if (part > 0)
        add_week(sums);
    for (size_t cell = 0; cell <= CELLS; cell++)
        sums->whole[cell] += share * ((1 - part) * sums->at[cell] + (part > 0 ? part * sums->next[cell] : 0));
}

static struct lumps read_off(const double *whole, double cell, double level) {
    double below = 0;
    size_t at = 0;
    for (below = whole[0]; below < level - 1e-12 && at < CELLS;)
        below += whole[++at];
    struct lumps lumps = {(double)at * cell, 0};
    for (size_t i = at + 1; i <= CELLS; i++)
        lumps.shortage += whole[i] * (double)(i - at) * cell;
    return lumps;
}

/* How much a cell is: 1 where all weeks are whole numbers and their sums few enough. */
static double cell_of(const double *weeks, size_t count, double longest) {
    double most = 0;
    bool whole = true;
    for (size_t i = 0; i < count; i++) {
        most = fmax(most, weeks[i]);
        whole = whole && weeks[i] == floor(weeks[i]);
    }
    double largest = most * ceil(longest - 1e-9);
    return whole && largest <= CELLS ? 1 : largest / CELLS;
}

bool lumps_cover(const double *weeks, size_t count, const struct lead_time *lead, double service,
                 struct lumps *lumps, struct fault *fault) {
    double cell = cell_of(weeks, count, fmax(1, lead->mean + lead->deviation));
    size_t *cells = calloc(count, sizeof *cells);
    double *space = calloc(3 * (size_t)(CELLS + 1), sizeof *space);
    bool good = cells != NULL && space != NULL;
    if (good) {
        for (size_t i = 0; i < count; i++)
            cells[i] = (size_t)ceil(weeks[i] / cell - 1e-9);
        double *at = space + CELLS + 1;
        struct sums sums = {cells, count, space, at, at + CELLS + 1};
        if (lead->deviation > 0) {
            add_length(&sums, lead->mean - lead->deviation, 0.5);
            add_length(&sums, lead->mean + lead->deviation, 0.5);
        } else {
            add_length(&sums, lead->mean, 1);
        }
        double level = fmin(service * (1 + 1 / (double)count), (1 + service) / 2);
        *lumps = read_off(sums.whole, cell, level);
    }
    free(space);
    free(cells);
    return good || fault_memory(fault);
}
