/* Prices from the middle of those that prove the bound. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/pricing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* So many times, and by so much of a piece at most. */
enum { TURNS = 8 };
#define LESS_MOST 3e-3

/* The same steps on every machine; from 0 to 1. */
static double next_random(uint64_t *state) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

static void ask_for_less(struct master *master, double most, uint64_t *state) {
    for (size_t i = 0; i < master->scope->type_count; i++)
        lp_set_row(master->lp, i, (double)master->scope->demand[i] - most * next_random(state), HUGE_VAL);
}

/* Until no pattern improves the program. False when it was cut short. */
static bool converge(struct pricing *pricing) {
    struct master *master = pricing->master;
    do {
        if (watch_over(master->engine->watch, 1) || !master_solve(master) || master->no_memory)
            return false;
    } while (pricing_round(pricing) > 0);
    return true;
}

bool pricing_centre(struct pricing *pricing) {
    struct master *master = pricing->master;
    size_t rows = master->row_count;
    double *sum = calloc(rows + 1, sizeof *sum);
    if (sum == NULL) {
        master->no_memory = true;
        return false;
    }
    uint64_t state = master->engine->watch->options->seed;
    bool fine = true;
    for (int turn = 0; turn < TURNS && fine; turn++) {
        ask_for_less(master, LESS_MOST, &state);
        fine = converge(pricing);
        for (size_t i = 0; i < rows; i++)
            sum[i] += master->row_prices[i] / TURNS;
    }
    ask_for_less(master, 0, &state);
    fine = fine && converge(pricing);
    if (fine) {
        memcpy(master->row_prices, sum, rows * sizeof *sum);
        memcpy(pricing->centre, sum, rows * sizeof *sum);
        memcpy(pricing->asked, sum, rows * sizeof *sum);
    }
    free(sum);
    return fine;
}
