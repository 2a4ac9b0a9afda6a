/* The bound on open kits against every order of small sets of runs. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/sequence.h"
#include "support.h"

enum { RUNS = 6, KITS = 6 };

struct trial {
    bool holds[RUNS][KITS];
    size_t order[RUNS];
    int least;
};

static int most_open(const struct trial *trial) {
    int most = 0;
    for (size_t at = 0; at < RUNS; at++) {
        int open = 0;
        for (size_t k = 0; k < KITS; k++) {
            bool begun = false, waits = false;
            for (size_t i = 0; i < RUNS; i++) {
                bool here = trial->holds[trial->order[i]][k];
                begun = begun || (here && i <= at);
                waits = waits || (here && i >= at);
            }
            open += begun && waits;
        }
        most = open > most ? open : most;
    }
    return most;
}

static void try_orders(struct trial *trial, size_t fixed) {
    if (fixed == RUNS) {
        int now = most_open(trial);
        trial->least = now < trial->least ? now : trial->least;
        return;
    }
    for (size_t i = fixed; i < RUNS; i++) {
        size_t kept = trial->order[fixed];
        trial->order[fixed] = trial->order[i];
        trial->order[i] = kept;
        try_orders(trial, fixed + 1);
        trial->order[i] = trial->order[fixed];
        trial->order[fixed] = kept;
    }
}

static int64_t bound_of(const struct trial *trial) {
    size_t from[RUNS + 1] = {0}, of_run[RUNS * KITS];
    struct cutting_options options = cutting_options_default();
    struct watch watch;
    watch_start(&watch, &options);
    for (size_t r = 0; r < RUNS; r++) {
        from[r + 1] = from[r];
        for (size_t k = 0; k < KITS; k++)
            if (trial->holds[r][k])
                of_run[from[r + 1]++] = k;
    }
    return sequence_bound(RUNS, from, of_run, KITS, &watch);
}

Test(sequence, bound_is_never_above_the_best_order) {
    uint64_t state = 21;
    int met = 0;
    for (int n = 0; n < 60; n++) {
        struct trial trial = {.least = KITS + 1};
        for (size_t r = 0; r < RUNS; r++) {
            trial.order[r] = r;
            for (size_t k = 0; k < KITS; k++)
                trial.holds[r][k] = pick(&state, 0, 3) == 0;
        }
        try_orders(&trial, 0);
        int64_t bound = bound_of(&trial);
        cr_assert_leq(bound, trial.least, "case %d: bound %ld, best order %d", n, (long)bound, trial.least);
        met += bound == trial.least;
    }
    cr_assert_gt(met, 30, "the bound is met in most: %d", met);
}

/* Three runs with two kits each, every pair of kits on one: whatever comes second, all three are open. */
Test(sequence, bound_sees_more_than_one_run) {
    struct trial trial = {.holds = {{true, true}, {false, true, true}, {true, false, true}}};
    cr_assert_eq(bound_of(&trial), 3, "three are open at once");
}
