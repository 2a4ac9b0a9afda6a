/* SPDX-License-Identifier: Apache-2.0 */
#include "replenish/clear_out.h"

#include <math.h>
#include <stdlib.h>

bool clear_out_fits(ell_length piece, ell_length offcut, const struct clear_rules *rules) {
    if (piece > offcut)
        return false;
    if (offcut - piece - rules->kerf >= rules->usable)
        return true;
    return rules->value_share * (double)offcut <= (double)(piece + rules->kerf) / rules->yield;
}

static bool check(const struct clear_piece *pieces, size_t piece_count, size_t offcut_count,
                  const struct clear_rules *rules, struct fault *fault) {
    if (piece_count > CLEAR_OUT_MOST || offcut_count > CLEAR_OUT_MOST)
        return fault_set(fault, "out-of-range", "offcuts",
                         "At most %d lengths and offcuts are weighed at once.", CLEAR_OUT_MOST);
    if (!(rules->weeks > 0 && rules->weeks <= 520))
        return fault_set(fault, "out-of-range", "weeks", "The time is above 0, to 520 weeks.");
    if (rules->kerf < 0 || rules->usable < 1 || !(rules->value_share >= 0 && rules->value_share <= 1))
        return fault_set(fault, "out-of-range", "rules",
                         "Kerf, usable length and value share are not below 0.");
    if (!(rules->yield > 0 && rules->yield <= 1))
        return fault_set(fault, "out-of-range", "yield", "A yield is above 0, to 1.");
    for (size_t i = 0; i < piece_count; i++)
        if (pieces[i].length < 1 || !(pieces[i].weekly >= 0 && pieces[i].weekly <= 1e9))
            return fault_set(fault, "out-of-range", "pieces",
                             "Pieces are longer than nothing, and 0 to 1e9 of them come a week.");
    return true;
}

struct ranked {
    ell_length length;
    size_t index;
};

static int shorter_first(const void *one, const void *other) {
    const struct ranked *a = one, *b = other;
    if (a->length != b->length)
        return a->length < b->length ? -1 : 1;
    return a->index < b->index ? -1 : a->index > b->index;
}

/* left: of each piece's demand, the share that shorter offcuts did not take. */
static void ask_offcut(const struct clear_piece *pieces, size_t count, const struct clear_rules *rules,
                       double *left, struct clear_offcut *offcut) {
    offcut->demand = 0;
    for (size_t i = 0; i < count; i++)
        if ((offcut->mates || !pieces[i].paired) && clear_out_fits(pieces[i].length, offcut->length, rules))
            offcut->demand += pieces[i].weekly * rules->weeks * left[i];
    offcut->chance = -expm1(-offcut->demand);
    double taken = offcut->demand > 0 ? offcut->chance / offcut->demand : 0;
    for (size_t i = 0; i < count; i++)
        if ((offcut->mates || !pieces[i].paired) && clear_out_fits(pieces[i].length, offcut->length, rules))
            left[i] *= 1 - taken;
}

bool clear_out_compute(const struct clear_piece *pieces, size_t piece_count, struct clear_offcut *offcuts,
                       size_t offcut_count, const struct clear_rules *rules, struct fault *fault) {
    if (!check(pieces, piece_count, offcut_count, rules, fault))
        return false;
    double *left = calloc(piece_count + 1, sizeof *left);
    struct ranked *order = calloc(offcut_count + 1, sizeof *order);
    bool good = left != NULL && order != NULL;
    for (size_t i = 0; good && i < piece_count; i++)
        left[i] = 1;
    for (size_t i = 0; good && i < offcut_count; i++)
        order[i] = (struct ranked){offcuts[i].length, i};
    if (good)
        qsort(order, offcut_count, sizeof *order, shorter_first);
    for (size_t i = 0; good && i < offcut_count; i++)
        ask_offcut(pieces, piece_count, rules, left, &offcuts[order[i].index]);
    free(order);
    free(left);
    return good || fault_memory(fault);
}
