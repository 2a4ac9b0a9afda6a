/* SPDX-License-Identifier: Apache-2.0 */
#include "instances.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

static bool add_piece(struct cutting_problem *problem, int64_t length, int64_t demand) {
    if (problem->piece_count % 64 == 0) {
        struct cutting_piece *more =
            realloc(problem->pieces, (problem->piece_count + 64) * sizeof *problem->pieces);
        if (more == NULL)
            return false;
        problem->pieces = more;
    }
    struct cutting_piece *piece = &problem->pieces[problem->piece_count++];
    *piece = (struct cutting_piece){.length = length, .quantity = demand};
    snprintf(piece->name, sizeof piece->name, "%zu", problem->piece_count);
    return true;
}

static bool add_bar(struct cutting_problem *problem, int64_t capacity) {
    problem->bars = calloc(1, sizeof *problem->bars);
    if (problem->bars == NULL)
        return false;
    problem->bars[0] = (struct cutting_bar){.name = "bar",
                                            .length = capacity,
                                            .quantity = CUTTING_UNLIMITED,
                                            .value = capacity,
                                            .purchasable = true};
    problem->bar_count = 1;
    return true;
}

bool instance_next(FILE *file, struct instance *instance, bool *bad) {
    char line[256];
    bool open = false;
    *bad = false;
    cutting_problem_clear(&instance->problem);
    while (fgets(line, sizeof line, file) != NULL) {
        int64_t length, demand;
        if (line[0] == '\n') {
            if (open)
                return true;
        } else if (sscanf(line, "instance %63s %" SCNd64 " %63s", instance->name, &instance->capacity,
                          instance->known) == 3 &&
                   !open) {
            open = add_bar(&instance->problem, instance->capacity);
        } else if (!open || sscanf(line, "%" SCNd64 " %" SCNd64, &length, &demand) != 2 ||
                   !add_piece(&instance->problem, length, demand)) {
            *bad = true;
            cutting_problem_free(&instance->problem);
            return false;
        }
    }
    return open;
}
