/* SPDX-License-Identifier: Apache-2.0 */
#include "workshop.h"

#include "common/document.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

uint64_t workshop_random(uint64_t *state) {
    *state += 0x9E3779B97F4A7C15u;
    uint64_t mixed = *state;
    mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9u;
    mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EBu;
    return mixed ^ (mixed >> 31);
}

int64_t workshop_between(uint64_t *state, int64_t least, int64_t most) {
    return least + (int64_t)(workshop_random(state) % (uint64_t)(most - least + 1));
}

static void add_piece(struct cutting_problem *problem, ell_length length, int window, char part) {
    struct cutting_piece *piece = &problem->pieces[problem->piece_count++];
    *piece = (struct cutting_piece){.length = length, .quantity = 1};
    snprintf(piece->name, sizeof piece->name, "W%d%c", window, part);
}

/* Windows of 0.9 m to 5.4 m; beyond 3 m every second track comes in two parts that differ a little. */
static void add_window(struct cutting_problem *problem, uint64_t *state, int window) {
    ell_length overall = workshop_between(state, 9000, 54000);
    if (overall > 30000 && workshop_between(state, 0, 1) == 0) {
        ell_length left = overall / 2 + workshop_between(state, -1500, 1500);
        add_piece(problem, left, window, 'a');
        add_piece(problem, overall - left, window, 'b');
    } else {
        add_piece(problem, overall, window, ' ');
        problem->pieces[problem->piece_count - 1].name[0] = 'W';
    }
}

bool workshop_group(uint64_t seed, int windows, int offcuts, int percent, struct cutting_problem *problem) {
    static const ell_length lengths[] = {60000, 50000, 36000};
    uint64_t state = seed;
    cutting_problem_clear(problem);
    problem->saw.kerf = 22;
    problem->saw.lead_trim = 100;
    problem->remainder = (struct cutting_remainder){6000, percent, CUTTING_UNLIMITED};
    problem->bars = calloc((size_t)offcuts + 3, sizeof *problem->bars);
    problem->pieces = calloc((size_t)windows * 2 + 1, sizeof *problem->pieces);
    if (problem->bars == NULL || problem->pieces == NULL) {
        cutting_problem_free(problem);
        return false;
    }
    for (int i = 0; i < offcuts + 3; i++) {
        struct cutting_bar *bar = &problem->bars[problem->bar_count++];
        bool fresh = i < 3;
        *bar = (struct cutting_bar){.length = fresh ? lengths[i] : workshop_between(&state, 6000, 34000),
                                    .quantity = fresh ? CUTTING_UNLIMITED : 1,
                                    .purchasable = fresh,
                                    .squared = !fresh,
                                    .age = fresh ? 0 : workshop_between(&state, 1, 200)};
        bar->value = bar->length;
        snprintf(bar->name, sizeof bar->name, "%c%d", fresh ? 'B' : 'F', i);
    }
    for (int i = 0; i < windows; i++)
        add_window(problem, &state, i);
    return true;
}

bool workshop_problem(uint64_t seed, int windows, int offcuts, struct cutting_problem *problem) {
    uint64_t state = seed * 2 + 1;
    windows = (int)workshop_between(&state, (windows + 2) / 3, windows);
    offcuts = (int)workshop_between(&state, (offcuts + 2) / 3, offcuts);
    int percent = (int)workshop_between(&state, 10, 19) * 5;
    if (!workshop_group(workshop_random(&state), windows, offcuts, percent, problem))
        return false;
    for (size_t i = 0; i < problem->bar_count; i++)
        if (problem->bars[i].quantity == CUTTING_UNLIMITED)
            problem->bars[i].value = problem->bars[i].length * workshop_between(&state, 97, 103) / 100;
    for (size_t i = 0; i < problem->piece_count; i++)
        problem->pieces[i].quantity = workshop_between(&state, 0, 3) == 0 ? 2 : 1;
    if (workshop_between(&state, 0, 1) == 0) { /* without the second length */
        memmove(&problem->bars[1], &problem->bars[2], (problem->bar_count - 2) * sizeof *problem->bars);
        problem->bar_count--;
    }
    return true;
}

json_t *workshop_document(const struct cutting_problem *problem) {
    json_t *bars = json_array(), *pieces = json_array();
    for (size_t i = 0; i < problem->bar_count; i++) {
        const struct cutting_bar *bar = &problem->bars[i];
        bool unlimited = bar->quantity == CUTTING_UNLIMITED;
        json_array_append_new(bars,
                              json_pack("{s:s, s:o, s:o, s:o, s:b}", "name", bar->name, "length",
                                        document_length(bar->length), "value", document_length(bar->value),
                                        "quantity", unlimited ? json_null() : json_integer(bar->quantity),
                                        "squared", (int)bar->squared));
    }
    for (size_t i = 0; i < problem->piece_count; i++) {
        const struct cutting_piece *piece = &problem->pieces[i];
        json_array_append_new(pieces, json_pack("{s:s, s:o, s:I}", "name", piece->name, "length",
                                                document_length(piece->length), "quantity",
                                                (json_int_t)piece->quantity));
    }
    return json_pack("{s:o, s:o, s:{s:o, s:i}, s:o, s:o}", "kerf", document_length(problem->saw.kerf),
                     "lead_trim", document_length(problem->saw.lead_trim), "remainder", "usable",
                     document_length(problem->remainder.usable), "value_percent", problem->remainder.percent,
                     "bars", bars, "pieces", pieces);
}
