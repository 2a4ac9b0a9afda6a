/* The linear program by CLP. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/lp.h"

#include <coin/Clp_C_Interface.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct lp {
    Clp_Simplex *clp;
    int pivots;
};

static double infinite(double bound) {
    return bound == HUGE_VAL ? 1e50 : bound == -HUGE_VAL ? -1e50 : bound;
}

struct lp *lp_make(size_t rows, const double *lower, const double *upper) {
    struct lp *lp = calloc(1, sizeof *lp);
    if (lp == NULL)
        return NULL;
    lp->clp = Clp_newModel();
    Clp_setLogLevel(lp->clp, 0);
    Clp_setPerturbation(lp->clp, 102);
    Clp_setDualTolerance(lp->clp, 1e-9);
    Clp_scaling(lp->clp, 0);
    Clp_resize(lp->clp, (int)rows, 0);
    double *row_lower = Clp_rowLower(lp->clp), *row_upper = Clp_rowUpper(lp->clp);
    for (size_t i = 0; i < rows; i++) {
        row_lower[i] = infinite(lower[i]);
        row_upper[i] = infinite(upper[i]);
    }
    return lp;
}

void lp_free(struct lp *lp) {
    if (lp == NULL)
        return;
    Clp_deleteModel(lp->clp);
    free(lp);
}

void lp_add(struct lp *lp, const struct lp_columns *columns) {
    Clp_addColumns(lp->clp, (int)columns->count, NULL, columns->limit, columns->cost, columns->start,
                   columns->row, columns->value);
}

void lp_set_cost(struct lp *lp, size_t column, double cost) {
    Clp_objective(lp->clp)[column] = cost;
}

void lp_add_row(struct lp *lp, size_t count, const int *column, const double *value, double lower,
                double upper) {
    double low = infinite(lower), high = infinite(upper);
    CoinBigIndex starts[2] = {0, (CoinBigIndex)count};
    Clp_addRows(lp->clp, 1, &low, &high, starts, column, value);
}

void lp_set_row(struct lp *lp, size_t row, double lower, double upper) {
    Clp_rowLower(lp->clp)[row] = infinite(lower);
    Clp_rowUpper(lp->clp)[row] = infinite(upper);
}

void lp_set_limits(struct lp *lp, size_t column, double least, double most) {
    Clp_columnLower(lp->clp)[column] = least;
    Clp_columnUpper(lp->clp)[column] = infinite(most);
}

/* The library counts the pivots of a solve from what it finds set, and its limit with them. */
static bool solve(struct lp *lp, int pivots, int method(Clp_Simplex *, int)) {
    Clp_setNumberIterations(lp->clp, 0);
    Clp_setMaximumIterations(lp->clp, pivots);
    method(lp->clp, 0);
    lp->pivots = Clp_numberIterations(lp->clp);
    return Clp_status(lp->clp) == 0;
}

bool lp_solve(struct lp *lp, int pivots) {
    return solve(lp, pivots, Clp_primal);
}

bool lp_solve_dual(struct lp *lp, int pivots) {
    return solve(lp, pivots, Clp_dual);
}

static bool tells_ray(const struct lp *lp) {
    double *ray = Clp_infeasibilityRay(lp->clp);
    if (ray != NULL)
        Clp_freeRay(lp->clp, ray);
    return ray != NULL;
}

/* Every column at its least, every row basic. */
static void begin_anew(struct lp *lp) {
    for (int j = 0; j < Clp_numberColumns(lp->clp); j++)
        Clp_setColumnStatus(lp->clp, j, 3);
    for (int i = 0; i < Clp_numberRows(lp->clp); i++)
        Clp_setRowStatus(lp->clp, i, 1);
}

static bool empty(const struct lp *lp) {
    return Clp_status(lp->clp) == 1 && Clp_secondaryStatus(lp->clp) == 0;
}

enum lp_end lp_solve_to(struct lp *lp, double cut, int pivots) {
    Clp_setDualObjectiveLimit(lp->clp, infinite(cut));
    bool best = solve(lp, pivots, Clp_dual);
    if (empty(lp) && !tells_ray(lp)) { /* lost its way: about one in a thousand */
        int before = lp->pivots;
        begin_anew(lp);
        best = solve(lp, pivots, Clp_dual);
        lp->pivots += before;
    }
    Clp_setDualObjectiveLimit(lp->clp, 1e50);
    if (best)
        return LP_BEST;
    if (Clp_status(lp->clp) != 1)
        return LP_STOPPED;
    return Clp_secondaryStatus(lp->clp) == 0 ? LP_EMPTY
           : Clp_getObjValue(lp->clp) >= cut ? LP_CUT
                                             : LP_STOPPED;
}

bool lp_ray(const struct lp *lp, double *ray) {
    double *found = Clp_infeasibilityRay(lp->clp);
    if (found == NULL)
        return false;
    memcpy(ray, found, (size_t)Clp_numberRows(lp->clp) * sizeof *ray);
    Clp_freeRay(lp->clp, found);
    return true;
}

void lp_save(const struct lp *lp, unsigned char *states) {
    size_t count = (size_t)Clp_numberColumns(lp->clp) + (size_t)Clp_numberRows(lp->clp);
    if (!Clp_statusExists(lp->clp))
        memset(states, 0, count);
    else
        memcpy(states, Clp_statusArray(lp->clp), count);
}

void lp_restore(struct lp *lp, const unsigned char *states) {
    Clp_copyinStatus(lp->clp, states);
}

const double *lp_values(const struct lp *lp) {
    return Clp_getColSolution(lp->clp);
}

const double *lp_prices(const struct lp *lp) {
    return Clp_getRowPrice(lp->clp);
}

const double *lp_reduced(const struct lp *lp) {
    return Clp_getReducedCost(lp->clp);
}

const double *lp_sums(const struct lp *lp) {
    return Clp_getRowActivity(lp->clp);
}

double lp_cost(const struct lp *lp) {
    return Clp_getObjValue(lp->clp);
}

int lp_pivots(const struct lp *lp) {
    return lp->pivots;
}

/* The library's numbers: 1 basic, 2 at the upper bound, 3 at the lower, 5 fixed. */
static enum lp_state state_of(int status) {
    return status == 1 ? LP_BASIC : status == 2 ? LP_MOST : status == 3 ? LP_LEAST : LP_ELSEWHERE;
}

enum lp_state lp_saved_state(unsigned char state) {
    return state_of(state & 7);
}

enum lp_state lp_column_state(const struct lp *lp, size_t column) {
    return state_of(Clp_getColumnStatus(lp->clp, (int)column) & 7);
}

enum lp_state lp_row_state(const struct lp *lp, size_t row) {
    return state_of(Clp_getRowStatus(lp->clp, (int)row) & 7);
}
