/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/simplex_basis.h"

#include <math.h>
#include <string.h>

enum { RENEW = 64 };
#define OUTSIDE 1e-7     /* a basic value so far beyond its limit is */
#define ENTRY_LEAST 1e-9 /* of the row, to count */
#define PIVOT_LEAST 1e-6

struct step {
    size_t row;    /* whose variable leaves */
    double sign;   /* 1: it is above its most; -1: below its least */
    double slope;  /* what the cost gains for each unit of the step */
    double length; /* of the step */
    double gained;
    int32_t entering;
};

/* The row furthest outside by steepest edge; false when none is. */
static bool leave(const struct simplex *simplex, struct step *step) {
    double best = 0;
    for (size_t i = 0; i < simplex->rows; i++) {
        int32_t variable = simplex->basis[i];
        double above = simplex->basic[i] - simplex->most[variable],
               below = simplex->least[variable] - simplex->basic[i];
        double outside = above > below ? above : below;
        if (outside < OUTSIDE || outside * outside <= best * simplex->norm[i])
            continue;
        best = outside * outside / simplex->norm[i];
        *step = (struct step){.row = i, .sign = above > below ? 1 : -1, .slope = outside, .entering = -1};
    }
    return best > 0;
}

/* The row of the inverse times the columns: over its entries where they are few, else column by column. */
static bool by_rows(struct simplex *simplex, const double *inverse) {
    const struct columns *columns = simplex->columns;
    size_t entries = 0;
    for (size_t i = 0; i < simplex->rows; i++)
        entries += inverse[i] != 0 ? simplex->holds_from[i + 1] - simplex->holds_from[i] : 0;
    if (entries * 3 > columns->entries * 2)
        return false;
    memset(simplex->ratio, 0, columns->count * sizeof *simplex->ratio);
    for (size_t i = 0; i < simplex->rows; i++) {
        double value = inverse[i];
        const uint32_t *end = simplex->holds + simplex->holds_from[i + 1];
        for (const uint32_t *at = simplex->holds + simplex->holds_from[i]; value != 0 && at < end; at++)
            simplex->ratio[*at] += value;
    }
    return true;
}

/* The row of the active variables, and those that come to nothing on the way into simplex->passed. */
static int32_t candidates(struct simplex *simplex, const struct step *step) {
    const struct columns *columns = simplex->columns;
    const double *inverse = simplex->inverse + step->row * simplex->rows;
    const uint16_t *rows = columns->rows;
    int32_t count = 0, active = simplex->numbers[0];
    bool have = by_rows(simplex, inverse);
    for (int32_t n = 0; n < active; n++) {
        int32_t j = simplex->active[n];
        double sum = 0;
        if ((size_t)j >= columns->count) {
            sum = inverse[(size_t)j - columns->count];
        } else if (have) {
            sum = simplex->ratio[j];
        } else {
            const uint16_t *end = rows + columns->list[j].end;
            for (const uint16_t *at = rows + columns->list[j].first; at < end; at++)
                sum += inverse[*at];
        }
        sum *= step->sign;
        simplex->row[n] = sum;
        if (simplex->place[j] == -1 ? sum > ENTRY_LEAST : sum < -ENTRY_LEAST)
            simplex->passed[count++] = n;
    }
    return count;
}

/* Of the candidates from `from` on, the one that comes to nothing first, the largest entry among nearly equals. */
static int32_t next_candidate(const struct simplex *simplex, int32_t from, int32_t count) {
    double furthest = HUGE_VAL, slack = simplex->scale * 1e-9, largest = 0;
    const int32_t *passed = simplex->passed, *active = simplex->active;
    int32_t best = from;
    for (int32_t i = from; i < count; i++) {
        double size = fabs(simplex->row[passed[i]]), reduced = fabs(simplex->reduced[active[passed[i]]]);
        if (reduced + slack < furthest * size)
            furthest = (reduced + slack) / size;
    }
    for (int32_t i = from; i < count; i++) {
        double size = fabs(simplex->row[passed[i]]);
        if (size > largest && fabs(simplex->reduced[active[passed[i]]]) <= furthest * size) {
            largest = size;
            best = i;
        }
    }
    return best;
}

/* Walks past the boxed variables as long as the cost still rises; those passed stand first in simplex->passed. Returns
 * their number, or -1 when the cost rises without end. */
static int32_t walk(struct simplex *simplex, int32_t count, struct step *step) {
    for (int32_t from = 0; from < count; from++) {
        int32_t best = next_candidate(simplex, from, count), n = simplex->passed[best];
        simplex->passed[best] = simplex->passed[from];
        simplex->passed[from] = n;
        int32_t j = simplex->active[n];
        double length = simplex->reduced[j] / simplex->row[n];
        if (length > step->length) {
            step->gained += (length - step->length) * step->slope;
            step->length = length;
        }
        double slope = step->slope - fabs(simplex->row[n]) * (simplex->most[j] - simplex->least[j]);
        if (slope <= OUTSIDE) {
            step->entering = j;
            return from;
        }
        step->slope = slope;
    }
    return -1;
}

static void pass(struct simplex *simplex, int32_t j) {
    double width = simplex->most[j] - simplex->least[j];
    bool up = simplex->place[j] == -1;
    simplex->place[j] = up ? -2 : -1;
    simplex_move(simplex, (size_t)j, up ? width : -width);
}

static void move_prices(struct simplex *simplex, const struct step *step) {
    const double *inverse = simplex->inverse + step->row * simplex->rows;
    double by = step->length * step->sign;
    for (int32_t n = 0; n < simplex->numbers[0]; n++)
        simplex->reduced[simplex->active[n]] -= step->length * simplex->row[n];
    for (size_t k = 0; k < simplex->rows; k++)
        simplex->price[k] += by * inverse[k];
    simplex->summary[0] += step->gained;
}

/* The entering variable takes the row; simplex->column is its own. */
static void exchange(struct simplex *simplex, const struct step *step) {
    int32_t leaving = simplex->basis[step->row], entering = step->entering;
    double limit = step->sign > 0 ? simplex->most[leaving] : simplex->least[leaving];
    double from = simplex_value(simplex, (size_t)entering);
    double by = (simplex->basic[step->row] - limit) / simplex->column[step->row];
    for (size_t i = 0; i < simplex->rows; i++)
        simplex->basic[i] -= by * simplex->column[i];
    simplex->basic[step->row] = from + by;
    simplex_exchange(simplex, step->row);
    simplex_deactivate(simplex, entering);
    simplex->basis[step->row] = entering;
    simplex->place[entering] = (int32_t)step->row;
    simplex->place[leaving] = step->sign > 0 ? -2 : -1;
    simplex->reduced[leaving] = -step->length * step->sign;
    if (simplex->least[leaving] < simplex->most[leaving])
        simplex_activate(simplex, leaving);
    simplex->pivots++;
    simplex->numbers[2]++;
}

static void keep_ray(struct simplex *simplex, const struct step *step) {
    simplex->slope = step->slope;
    for (size_t k = 0; k < simplex->rows; k++)
        simplex->column[k] = step->sign * simplex->inverse[step->row * simplex->rows + k];
}

/* One pivot. SIMPLEX_STOPPED: there may be another. */
static enum simplex_end pivot(struct simplex *simplex, bool *unsure) {
    struct step step = {.entering = -1};
    simplex_settle(simplex);
    if (!leave(simplex, &step))
        return SIMPLEX_BEST;
    int32_t count = candidates(simplex, &step), passed = walk(simplex, count, &step);
    if (passed < 0) {
        keep_ray(simplex, &step);
        return SIMPLEX_EMPTY;
    }
    simplex_transform(simplex, (size_t)step.entering);
    *unsure = fabs(simplex->column[step.row]) < PIVOT_LEAST;
    if (*unsure)
        return SIMPLEX_STOPPED;
    for (int32_t i = 0; i < passed; i++)
        pass(simplex, simplex->active[simplex->passed[i]]);
    move_prices(simplex, &step);
    simplex->reduced[step.entering] = 0;
    simplex_settle(simplex);
    exchange(simplex, &step);
    return SIMPLEX_STOPPED;
}

enum simplex_end simplex_solve(struct simplex *simplex, double cut, int pivots) {
    for (int left = pivots; left > 0; left--) {
        bool unsure = false, fresh = simplex->numbers[2] == 0;
        if (simplex->numbers[2] >= RENEW && !simplex_renew(simplex))
            return SIMPLEX_STOPPED;
        enum simplex_end end = pivot(simplex, &unsure);
        if (unsure && (fresh || !simplex_renew(simplex)))
            return SIMPLEX_STOPPED;
        if (end != SIMPLEX_STOPPED)
            return end;
        if (simplex->summary[0] >= cut)
            return SIMPLEX_CUT;
    }
    return SIMPLEX_STOPPED;
}
