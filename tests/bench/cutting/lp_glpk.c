/* The linear program by GLPK, for comparison only: GLPK is GPL and never linked to what is shipped. The functions are
 * those of cutting/lp.h, under names of their own (see lp_names.h). SPDX-License-Identifier: Apache-2.0 */
#include "lp_names.h"

#include <glpk.h>
#include <math.h>
#include <stdlib.h>

struct lp {
    glp_prob *problem;
    int pivots;
};

static int kind(double lower, double upper) {
    if (lower == -HUGE_VAL)
        return upper == HUGE_VAL ? GLP_FR : GLP_UP;
    return upper == HUGE_VAL ? GLP_LO : lower == upper ? GLP_FX : GLP_DB;
}

struct lp *lp_make(size_t rows, const double *lower, const double *upper) {
    struct lp *lp = calloc(1, sizeof *lp);
    if (lp == NULL)
        return NULL;
    glp_term_out(GLP_OFF);
    lp->problem = glp_create_prob();
    glp_set_obj_dir(lp->problem, GLP_MIN);
    if (rows > 0)
        glp_add_rows(lp->problem, (int)rows);
    for (size_t i = 0; i < rows; i++)
        lp_set_row(lp, i, lower[i], upper[i]);
    return lp;
}

void lp_free(struct lp *lp) {
    if (lp == NULL)
        return;
    glp_delete_prob(lp->problem);
    free(lp);
}

/* GLPK counts from 1. */
static int *counted_from_one(size_t count, const int *indices) {
    int *copy = malloc((count + 1) * sizeof *copy);
    for (size_t i = 0; copy != NULL && i < count; i++)
        copy[i + 1] = indices[i] + 1;
    return copy;
}

void lp_add(struct lp *lp, const struct lp_columns *columns) {
    int first = glp_add_cols(lp->problem, (int)columns->count);
    for (size_t i = 0; i < columns->count; i++) {
        int begin = columns->start[i], count = columns->start[i + 1] - begin, column = first + (int)i;
        int *rows = counted_from_one((size_t)count, columns->row + begin);
        if (rows == NULL)
            abort();
        glp_set_col_bnds(lp->problem, column, kind(0, columns->limit[i]), 0, columns->limit[i]);
        glp_set_obj_coef(lp->problem, column, columns->cost[i]);
        glp_set_mat_col(lp->problem, column, count, rows, columns->value + begin - 1);
        glp_set_col_stat(lp->problem, column, GLP_NL);
        free(rows);
    }
}

void lp_add_row(struct lp *lp, size_t count, const int *column, const double *value, double lower,
                double upper) {
    int row = glp_add_rows(lp->problem, 1);
    int *columns = counted_from_one(count, column);
    if (columns == NULL)
        abort();
    glp_set_row_bnds(lp->problem, row, kind(lower, upper), lower, upper);
    glp_set_mat_row(lp->problem, row, (int)count, columns, value - 1);
    free(columns);
}

void lp_set_row(struct lp *lp, size_t row, double lower, double upper) {
    glp_set_row_bnds(lp->problem, (int)row + 1, kind(lower, upper), lower, upper);
}

void lp_set_limits(struct lp *lp, size_t column, double least, double most) {
    glp_set_col_bnds(lp->problem, (int)column + 1, kind(least, most), least, most);
}

void lp_set_cost(struct lp *lp, size_t column, double cost) {
    glp_set_obj_coef(lp->problem, (int)column + 1, cost);
}

static bool solve(struct lp *lp, int pivots, int method) {
    glp_smcp how;
    glp_init_smcp(&how);
    how.msg_lev = GLP_MSG_OFF;
    how.meth = method;
    how.it_lim = pivots;
    int before = glp_get_it_cnt(lp->problem);
    int code = glp_simplex(lp->problem, &how);
    if (code == GLP_EBADB || code == GLP_ESING || code == GLP_ECOND) {
        glp_adv_basis(lp->problem, 0);
        code = glp_simplex(lp->problem, &how);
    }
    lp->pivots = glp_get_it_cnt(lp->problem) - before;
    return code == 0 && glp_get_status(lp->problem) == GLP_OPT;
}

bool lp_solve(struct lp *lp, int pivots) {
    return solve(lp, pivots, GLP_PRIMAL);
}

bool lp_solve_dual(struct lp *lp, int pivots) {
    return solve(lp, pivots, GLP_DUALP);
}

double lp_cost(const struct lp *lp) {
    return glp_get_obj_val(lp->problem);
}

int lp_pivots(const struct lp *lp) {
    return lp->pivots;
}
