/* Mixed-integer rounding of rows of the tableau (Gomory 1960; Marchand, Wolsey 2001), in integers.
 *
 * With any whole multipliers p of the rows, each of the sign that its row allows, sum_j N_j x_j <= N_0 holds where
 * N = sum_r p_r row_r. With D > 0, d = N_0 mod D and F(n) = (D - d) * floor(n / D) + max(0, n mod D - d), so does
 * sum_j F(N_j) x_j <= F(N_0) for whole x >= 0, and the slack of row r may count F(p_r) as well. The multipliers come from the
 * linear programming library's basis and may be rounded at will: what is added holds exactly.
 * SPDX-License-Identifier: Apache-2.0 */
#include "cutting/integer_search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Rows that a basis may have; cuts of one round; the finest grid of multipliers, used where no coarser one fits. */
enum { ROWS_MOST = 350, ROUND_MOST = 40, GRID = 1000000, COARSE_MOST = 60, VALUE_MOST = 1000 };
#define AWAY 5e-3 /* from whole numbers, for a variable that is cut off */
#define VIOLATED 1e-3

struct tableau {
    struct integer_search *search;
    size_t rows; /* the program's, then the cuts */
    double *inverse;
    size_t *basic;  /* of each place of the basis: a column, or SIZE_MAX */
    size_t *places; /* scratch: of each column, its place; SIZE_MAX: none */
    int *sign;      /* of each row: 1: at most its most; -1: at least its least; 0: neither */
    int64_t *multipliers;
    int64_t *sums; /* of each column */
    bool *turned;  /* of each column: at its limit, and counted from there */
    struct integer_cut best[ROUND_MOST];
    double merit[ROUND_MOST];
    size_t best_count;
};

static void tableau_free(struct tableau *tableau) {
    free(tableau->inverse);
    free(tableau->basic);
    free(tableau->places);
    free(tableau->sign);
    free(tableau->multipliers);
    free(tableau->sums);
    free(tableau->turned);
}

static int64_t row_most(const struct tableau *tableau, size_t row) {
    const struct integer_program *program = tableau->search->program;
    return row < program->row_count ? program->rows[row].most
                                    : tableau->search->cuts[row - program->row_count].most;
}

static int64_t row_least(const struct tableau *tableau, size_t row) {
    const struct integer_program *program = tableau->search->program;
    return row < program->row_count ? program->rows[row].least : -INTEGER_FREE;
}

/* Gauss and Jordan with the largest pivot of each column; the matrix becomes its inverse. False when it is singular. */
static bool invert(double *matrix, size_t size, double *inverse) {
    for (size_t i = 0; i < size * size; i++)
        inverse[i] = i % (size + 1) == 0;
    for (size_t k = 0; k < size; k++) {
        size_t pivot = k;
        for (size_t i = k + 1; i < size; i++)
            if (fabs(matrix[i * size + k]) > fabs(matrix[pivot * size + k]))
                pivot = i;
        double value = matrix[pivot * size + k];
        if (fabs(value) < 1e-9)
            return false;
        for (size_t j = 0; j < size; j++) {
            double one = matrix[k * size + j], other = inverse[k * size + j];
            matrix[k * size + j] = matrix[pivot * size + j] / value;
            inverse[k * size + j] = inverse[pivot * size + j] / value;
            if (pivot != k) {
                matrix[pivot * size + j] = one;
                inverse[pivot * size + j] = other;
            }
        }
        for (size_t i = 0; i < size; i++) {
            double factor = i == k ? 0 : matrix[i * size + k];
            for (size_t j = 0; factor != 0 && j < size; j++) {
                matrix[i * size + j] -= factor * matrix[k * size + j];
                inverse[i * size + j] -= factor * inverse[k * size + j];
            }
        }
    }
    return true;
}

/* The basis as a matrix, a column for each place. False when the library's has another size. */
static bool fill_basis(struct tableau *tableau, double *matrix) {
    struct integer_search *search = tableau->search;
    const struct integer_program *program = search->program;
    size_t count = 0, rows = tableau->rows;
    for (size_t i = 0; i < search->dummies; i++)
        if (lp_column_state(search->lp, i) == LP_BASIC) {
            if (count == rows)
                return false;
            tableau->basic[count] = SIZE_MAX;
            matrix[i / 2 * rows + count++] = i % 2 == 0 ? 1 : -1;
        }
    for (size_t i = 0; i < program->column_count; i++) {
        bool basic = lp_column_state(search->lp, search->dummies + i) == LP_BASIC;
        tableau->places[i] = basic ? count : SIZE_MAX;
        if (!basic)
            continue;
        if (count == rows)
            return false;
        for (size_t e = program->columns[i].first; e < integer_entries_end(program, i); e++)
            matrix[(size_t)program->entry_rows[e] * rows + count] += (double)program->entry_values[e];
        tableau->basic[count++] = i;
    }
    for (size_t c = 0; c < search->cut_count; c++)
        for (size_t n = 0; n < search->cuts[c].count; n++) {
            size_t place = tableau->places[search->cuts[c].columns[n]];
            if (place != SIZE_MAX)
                matrix[(program->row_count + c) * rows + place] = (double)search->cuts[c].values[n];
        }
    for (size_t r = 0; r < rows; r++)
        if (lp_row_state(search->lp, r) == LP_BASIC) {
            if (count == rows)
                return false;
            tableau->basic[count] = SIZE_MAX;
            matrix[r * rows + count++] = 1;
        }
    return count == rows;
}

/* How a row may be used: as it stands where it is at its least alone. */
static void find_signs(struct tableau *tableau) {
    for (size_t r = 0; r < tableau->rows; r++) {
        bool at_least = lp_row_state(tableau->search->lp, r) == LP_LEAST;
        bool has_most = row_most(tableau, r) != INTEGER_FREE,
             has_least = row_least(tableau, r) != -INTEGER_FREE;
        tableau->sign[r] = has_least && (at_least || !has_most) ? -1 : has_most ? 1 : 0;
    }
}

static bool tableau_make(struct integer_search *search, struct tableau *tableau) {
    size_t rows = search->program->row_count + search->cut_count, columns = search->program->column_count + 1;
    *tableau = (struct tableau){.search = search, .rows = rows};
    double *matrix = calloc(rows * rows + 1, sizeof *matrix);
    tableau->inverse = malloc((rows * rows + 1) * sizeof *tableau->inverse);
    tableau->basic = malloc((rows + 1) * sizeof *tableau->basic);
    tableau->places = malloc(columns * sizeof *tableau->places);
    tableau->sign = malloc((rows + 1) * sizeof *tableau->sign);
    tableau->multipliers = malloc((rows + 1) * sizeof *tableau->multipliers);
    tableau->sums = malloc(columns * sizeof *tableau->sums);
    tableau->turned = malloc(columns * sizeof *tableau->turned);
    bool fine = matrix && tableau->inverse && tableau->basic && tableau->places && tableau->sign &&
                tableau->multipliers && tableau->sums && tableau->turned;
    search->no_memory = search->no_memory || !fine;
    fine = fine && fill_basis(tableau, matrix) && invert(matrix, rows, tableau->inverse);
    free(matrix);
    if (!fine)
        return false;
    find_signs(tableau);
    for (size_t i = 0; i < search->program->column_count; i++)
        tableau->turned[i] =
            search->base[i] > 0 && lp_column_state(search->lp, search->dummies + i) == LP_MOST;
    return true;
}

/* The coarsest grid on which all of the row's multipliers lie; GRID where there is none. */
static int64_t find_grid(const struct tableau *tableau, const double *row) {
    for (int64_t grid = 2; grid <= COARSE_MOST; grid++) {
        bool fits = true;
        for (size_t r = 0; fits && r < tableau->rows; r++)
            fits = fabs(row[r] * (double)grid - round(row[r] * (double)grid)) < 1e-6;
        if (fits)
            return grid;
    }
    return GRID;
}

static int64_t modulo(int64_t number, int64_t by) {
    int64_t rest = number % by;
    return rest < 0 ? rest + by : rest;
}

/* F of the head of this file. */
static int64_t rounded(int64_t number, int64_t grid, int64_t rest) {
    int64_t own = modulo(number, grid), floor = (number - own) / grid;
    return floor * (grid - rest) + (own > rest ? own - rest : 0);
}

/* sums[j] and the right side of the rows times their multipliers, columns at their limit counted from there. False when
 * a multiplier stands on a row that may not be used. */
static bool add_rows(struct tableau *tableau, const double *row, int64_t grid, int64_t *side) {
    const struct integer_search *search = tableau->search;
    const struct integer_program *program = search->program;
    *side = 0;
    for (size_t r = 0; r < tableau->rows; r++) {
        double part = row[r] * tableau->sign[r];
        part -= floor(part + 1e-9);
        int64_t times = modulo(llround(part * (double)grid), grid);
        if (tableau->sign[r] == 0 && fabs(row[r]) > 1e-9)
            return false;
        tableau->multipliers[r] = times;
        *side +=
            times == 0 ? 0 : times * (tableau->sign[r] > 0 ? row_most(tableau, r) : -row_least(tableau, r));
    }
    memset(tableau->sums, 0, program->column_count * sizeof *tableau->sums);
    for (size_t i = 0; i < program->column_count; i++)
        for (size_t e = program->columns[i].first; e < integer_entries_end(program, i); e++) {
            int r = program->entry_rows[e];
            tableau->sums[i] += tableau->multipliers[r] * tableau->sign[r] * program->entry_values[e];
        }
    for (size_t c = 0; c < search->cut_count; c++) {
        int64_t times = tableau->multipliers[program->row_count + c];
        for (size_t n = 0; times != 0 && n < search->cuts[c].count; n++)
            tableau->sums[search->cuts[c].columns[n]] += times * search->cuts[c].values[n];
    }
    for (size_t i = 0; i < program->column_count; i++)
        if (tableau->turned[i]) {
            *side -= tableau->sums[i] * search->base[i];
            tableau->sums[i] = -tableau->sums[i];
        }
    return true;
}

/* From counted slacks and turned columns back to the program's own: sums[j] becomes the cut's coefficient. */
static void round_rows(struct tableau *tableau, int64_t grid, int64_t *side) {
    const struct integer_search *search = tableau->search;
    const struct integer_program *program = search->program;
    int64_t rest = modulo(*side, grid);
    *side = rounded(*side, grid, rest);
    for (size_t i = 0; i < program->column_count; i++) {
        tableau->sums[i] = rounded(tableau->sums[i], grid, rest);
        if (tableau->turned[i]) {
            *side -= tableau->sums[i] * search->base[i];
            tableau->sums[i] = -tableau->sums[i];
        }
    }
    for (size_t r = 0; r < tableau->rows; r++) {
        int64_t slack = rounded(tableau->multipliers[r], grid, rest);
        tableau->multipliers[r] = slack * tableau->sign[r];
        if (slack != 0)
            *side -= slack * (tableau->sign[r] > 0 ? row_most(tableau, r) : -row_least(tableau, r));
    }
    for (size_t i = 0; i < program->column_count; i++)
        for (size_t e = program->columns[i].first; e < integer_entries_end(program, i); e++)
            tableau->sums[i] -= tableau->multipliers[program->entry_rows[e]] * program->entry_values[e];
    for (size_t c = 0; c < search->cut_count; c++) {
        int64_t times = tableau->multipliers[program->row_count + c];
        for (size_t n = 0; times != 0 && n < search->cuts[c].count; n++)
            tableau->sums[search->cuts[c].columns[n]] -= times * search->cuts[c].values[n];
    }
}

/* number * by / of, rounded down. */
static int64_t scaled_down(int64_t number, int64_t by, int64_t of) {
    __int128 product = (__int128)number * by, quotient = product / of;
    return (int64_t)(quotient * of > product ? quotient - 1 : quotient);
}

static int64_t common_divisor(int64_t one, int64_t other) {
    while (other != 0) {
        int64_t rest = one % other;
        one = other;
        other = rest;
    }
    return one < 0 ? -one : one;
}

/* Divided until no value is beyond VALUE_MOST, all rounded down: what is whole on the left keeps below the right side
 * rounded down as well. Returns the largest size of a value. */
static int64_t shrink(struct tableau *tableau, int64_t *side) {
    const struct integer_search *search = tableau->search;
    int64_t largest = 0, divisor = *side, after = 0;
    for (size_t i = 0; i < search->program->column_count; i++) {
        int64_t sum = search->base[i] > 0 ? tableau->sums[i] : 0;
        divisor = common_divisor(divisor, sum);
        largest = sum > largest ? sum : -sum > largest ? -sum : largest;
        tableau->sums[i] = sum;
    }
    divisor = divisor > 0 ? divisor : 1;
    bool exact = largest / divisor <= VALUE_MOST;
    for (size_t i = 0; i < search->program->column_count; i++) {
        int64_t sum = tableau->sums[i] =
            exact ? tableau->sums[i] / divisor : scaled_down(tableau->sums[i], VALUE_MOST, largest);
        after = sum > after ? sum : -sum > after ? -sum : after;
    }
    *side = exact ? *side / divisor : scaled_down(*side, VALUE_MOST, largest);
    return after;
}

/* Keeps the cut if it is among the deepest, at most `keep` of them. */
static void keep_cut(struct tableau *tableau, int64_t side, size_t keep) {
    const struct integer_search *search = tableau->search;
    const struct integer_program *program = search->program;
    const double *values = lp_values(search->lp) + search->dummies;
    double held = 0, norm = 0;
    int64_t largest = shrink(tableau, &side);
    size_t count = 0;
    for (size_t i = 0; i < program->column_count; i++) {
        int64_t sum = tableau->sums[i];
        held += (double)sum * values[i];
        norm += (double)sum * (double)sum;
        count += sum != 0;
    }
    double merit = norm > 0 ? (held - (double)side) / sqrt(norm) : 0;
    bool full = tableau->best_count == keep;
    if (merit < VIOLATED || (full && merit <= tableau->merit[tableau->best_count - 1]))
        return;
    struct integer_cut cut = {.columns = malloc((count + 1) * sizeof *cut.columns),
                              .values = malloc((count + 1) * sizeof *cut.values),
                              .most = side,
                              .largest = largest};
    if (cut.columns == NULL || cut.values == NULL) {
        free(cut.columns);
        free(cut.values);
        return;
    }
    for (size_t i = 0; i < program->column_count; i++)
        if (tableau->sums[i] != 0) {
            cut.columns[cut.count] = (int)i;
            cut.values[cut.count++] = tableau->sums[i];
        }
    if (full)
        integer_cut_free(&tableau->best[--tableau->best_count]);
    size_t at = tableau->best_count++;
    for (; at > 0 && tableau->merit[at - 1] < merit; at--) {
        tableau->best[at] = tableau->best[at - 1];
        tableau->merit[at] = tableau->merit[at - 1];
    }
    tableau->best[at] = cut;
    tableau->merit[at] = merit;
}

bool integer_cut_row(struct integer_search *search, const struct integer_cut *cut) {
    int *columns = malloc((cut->count + 1) * sizeof *columns);
    double *values = malloc((cut->count + 1) * sizeof *values), unit = (double)cut->largest;
    bool fine = columns != NULL && values != NULL;
    for (size_t i = 0; fine && i < cut->count; i++) {
        columns[i] = (int)search->dummies + cut->columns[i];
        values[i] = (double)cut->values[i] / unit;
    }
    if (fine)
        lp_add_row(search->lp, cut->count, columns, values, -HUGE_VAL, (double)cut->most / unit);
    free(columns);
    free(values);
    return fine;
}

size_t integer_cut(struct integer_search *search) {
    const struct integer_program *program = search->program;
    size_t rows = program->row_count + search->cut_count, keep = ROUND_MOST;
    struct tableau tableau;
    if (search->cuts == NULL)
        search->cuts = calloc(INTEGER_CUTS_MOST, sizeof *search->cuts);
    if (search->cuts == NULL) {
        search->no_memory = true;
        return 0;
    }
    if (rows > ROWS_MOST)
        return 0;
    if (keep > INTEGER_CUTS_MOST - search->cut_count)
        keep = INTEGER_CUTS_MOST - search->cut_count;
    bool fine = tableau_make(search, &tableau);
    const double *values = lp_values(search->lp) + search->dummies;
    for (size_t k = 0;
         fine && keep > 0 && k < rows && !watch_over(search->watch, (int64_t)(rows * rows / 64)); k++) {
        double value = tableau.basic[k] == SIZE_MAX ? 0 : values[tableau.basic[k]];
        const double *row = tableau.inverse + k * rows;
        int64_t side, grid;
        if (fabs(value - round(value)) < AWAY)
            continue;
        grid = find_grid(&tableau, row);
        /* The analyser loses sight of the tableau, which tableau_free gives back, and of its cuts, which go to the search. */
        // NOLINTNEXTLINE(clang-analyzer-unix.Malloc)
        if (!add_rows(&tableau, row, grid, &side) || modulo(side, grid) == 0)
            continue;
        round_rows(&tableau, grid, &side);
        keep_cut(&tableau, side, keep);
    }
    for (size_t i = 0; fine && i < tableau.best_count; i++) {
        search->no_memory = search->no_memory || !integer_cut_row(search, &tableau.best[i]);
        search->cuts[search->cut_count++] = tableau.best[i];
    }
    size_t added = fine ? tableau.best_count : 0;
    tableau_free(&tableau);
    return added; // NOLINT(clang-analyzer-unix.Malloc)
}

void integer_cut_free(struct integer_cut *cut) {
    free(cut->columns);
    free(cut->values);
    *cut = (struct integer_cut){0};
}

void integer_cuts_free(struct integer_search *search) {
    for (size_t c = 0; c < search->cut_count; c++)
        integer_cut_free(&search->cuts[c]);
    free(search->cuts);
}
