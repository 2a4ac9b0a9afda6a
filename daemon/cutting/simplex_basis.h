/* The basis of the dual simplex method and its inverse. For simplex*.c alone. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_SIMPLEX_BASIS_H
#define ELLWAND_CUTTING_SIMPLEX_BASIS_H

#include "cutting/simplex.h"

/* Into the list of those that are not basic and have different limits; out of it. */
void simplex_activate(struct simplex *simplex, int32_t variable);
void simplex_deactivate(struct simplex *simplex, int32_t variable);

/* Cost of the variable less what its rows are worth at the prices as they stand. */
double simplex_reduced(const struct simplex *simplex, size_t variable);

/* Notes that the variable, not basic, moved by `step`. */
void simplex_move(struct simplex *simplex, size_t variable, double step);
/* Brings the basic values up to date with what moved. */
void simplex_settle(struct simplex *simplex);

/* The variable's column times the inverse, into simplex->column. */
void simplex_transform(struct simplex *simplex, size_t variable);
/* Makes that column's variable basic in the row, as far as the inverse is concerned. */
void simplex_exchange(struct simplex *simplex, size_t row);

/* Makes the inverse, prices, reduced costs and values anew from the basis. False when the basis has none. */
bool simplex_renew(struct simplex *simplex);

#endif
