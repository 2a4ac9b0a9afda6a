/* The linear program by CLP. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/lp.h"

#include <coin/Clp_C_Interface.h>
#include <math.h>
#include <stdlib.h>

struct lp {
    Clp_Simplex *clp;
    int pivots;
};

struct lp *lp_make(size_t rows, const double *lower, const double *upper) {
    struct lp *lp = calloc(1, sizeof *lp);
    if (lp == NULL)
        return NULL;
    lp->clp = Clp_newModel();
    Clp_setLogLevel(lp->clp, 0);
    Clp_setPerturbation(lp->clp, 102);
    Clp_setDualTolerance(lp->clp, 1e-9);
    Clp_resize(lp->clp, (int)rows, 0);
    double *row_lower = Clp_rowLower(lp->clp), *row_upper = Clp_rowUpper(lp->clp);
    for (size_t i = 0; i < rows; i++) {
        row_lower[i] = lower[i] == -HUGE_VAL ? -1e50 : lower[i];
        row_upper[i] = upper[i] == HUGE_VAL ? 1e50 : upper[i];
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
    Clp_addColumns(lp->clp, (int)columns->count, NULL, columns->limit, columns->cost, columns->start, columns->row,
                   columns->value);
}

void lp_set_cost(struct lp *lp, size_t column, double cost) {
    Clp_objective(lp->clp)[column] = cost;
}

bool lp_solve(struct lp *lp, int pivots) {
    int before = Clp_numberIterations(lp->clp);
    Clp_setMaximumIterations(lp->clp, before + pivots);
    Clp_primal(lp->clp, 0);
    lp->pivots = Clp_numberIterations(lp->clp) - before;
    if (lp->pivots < 0)
        lp->pivots = Clp_numberIterations(lp->clp);
    return Clp_status(lp->clp) == 0;
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

double lp_cost(const struct lp *lp) {
    return Clp_getObjValue(lp->clp);
}

int lp_pivots(const struct lp *lp) {
    return lp->pivots;
}
