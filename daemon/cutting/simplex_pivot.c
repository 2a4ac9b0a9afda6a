/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/simplex_basis.h"

#include <math.h>
#include <string.h>

enum { RENEW = 64 };
#define OUTSIDE 1e-7     /* a basic value so far beyond its limit is */
#define ENTRY_LEAST 1e-9 /* of the row, to count */
#define PIVOT_LEAST 1e-6

struct step {
    size_t row;      /* whose variable leaves */
    double sign;     /* 1: it is above its most; -1: below its least */
    double slope;    /* what the cost gains for each unit of the step */
    double length;   /* of the step */
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

/* The row of the active variables, and those that come to nothing on the way into simplex->passed. */
static int32_t candidates(struct simplex *simplex, const struct step *step) {
    const struct columns *columns = simplex->columns;
    const double *inverse = simplex->inverse + step->row * simplex->rows;
    int32_t count = 0;
    for (int32_t n = 0; n < simplex->numbers[0]; n++) {
        int32_t j = simplex->active[n];
        double sum = 0;
        if ((size_t)j < columns->count)
            for (uint32_t i = columns->list[j].first; i < columns->list[j].end; i++)
                sum += inverse[columns->rows[i]];
        else
            sum = inverse[(size_t)j - columns->count];
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
    int32_t best = from;
    for (int32_t i = from; i < count; i++) {
        int32_t n = simplex->passed[i];
        double ratio = (fabs(simplex->reduced[simplex->active[n]]) + slack) / fabs(simplex->row[n]);
        if (ratio < furthest)
            furthest = ratio;
    }
    for (int32_t i = from; i < count; i++) {
        int32_t n = simplex->passed[i];
        double size = fabs(simplex->row[n]);
        if (size > largest && fabs(simplex->reduced[simplex->active[n]]) <= furthest * size) {
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
