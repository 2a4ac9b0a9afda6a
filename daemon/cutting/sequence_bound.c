/* How few kits can be open at once. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/sequence.h"

#include <stdlib.h>

/* Kits looked at in pairs: the table has their square. */
enum { KITS_MOST = 3000 };

static int64_t most_on_one_run(size_t runs, const size_t *from) {
    size_t most = 0;
    for (size_t r = 0; r < runs; r++)
        most = from[r + 1] - from[r] > most ? from[r + 1] - from[r] : most;
    return (int64_t)most;
}

static void note_neighbours(size_t runs, const size_t *from, const size_t *of_run, size_t kits, bool *meet,
                            size_t *degree) {
    for (size_t r = 0; r < runs; r++)
        for (size_t i = from[r]; i < from[r + 1]; i++)
            for (size_t j = from[r]; j < i; j++) {
                size_t one = of_run[i], other = of_run[j];
                if (meet[one * kits + other])
                    continue;
                meet[one * kits + other] = meet[other * kits + one] = true;
                degree[one]++;
                degree[other]++;
            }
}

/* Takes away the kit with fewest neighbours, again and again; the most that any had then. */
static size_t degeneracy(size_t kits, const bool *meet, size_t *degree, bool *gone, struct watch *watch) {
    size_t most = 0;
    for (size_t n = 0; n < kits && !watch_over(watch, (int64_t)kits / 64 + 1); n++) {
        size_t least = SIZE_MAX;
        for (size_t k = 0; k < kits; k++)
            if (!gone[k] && (least == SIZE_MAX || degree[k] < degree[least]))
                least = k;
        most = degree[least] > most ? degree[least] : most;
        gone[least] = true;
        for (size_t k = 0; k < kits; k++)
            if (!gone[k] && meet[least * kits + k])
                degree[k]--;
    }
    return most;
}

int64_t sequence_bound(size_t runs, const size_t *from, const size_t *of_run, size_t kits,
                       struct watch *watch) {
    int64_t bound = most_on_one_run(runs, from);
    if (kits > KITS_MOST || watch_over(watch, 0))
        return bound;
    bool *meet = calloc(kits * kits + 1, sizeof *meet), *gone = calloc(kits + 1, sizeof *gone);
    size_t *degree = calloc(kits + 1, sizeof *degree);
    if (meet != NULL && gone != NULL && degree != NULL) {
        note_neighbours(runs, from, of_run, kits, meet, degree);
        int64_t more = (int64_t)degeneracy(kits, meet, degree, gone, watch) + 1;
        bound = more > bound ? more : bound;
    }
    free(meet);
    free(gone);
    free(degree);
    return bound;
}
