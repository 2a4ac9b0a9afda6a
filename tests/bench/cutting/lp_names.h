/* Before cutting/lp.h: gives its functions the prefix LP_PREFIX, so that two libraries can stand in one program.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_BENCH_LP_NAMES_H
#define ELLWAND_BENCH_LP_NAMES_H

#define LP_JOIN_NOW(prefix, name) prefix##name
#define LP_JOIN(prefix, name) LP_JOIN_NOW(prefix, name)

#ifdef LP_PREFIX
#define lp LP_JOIN(LP_PREFIX, lp)
#define lp_make LP_JOIN(LP_PREFIX, lp_make)
#define lp_free LP_JOIN(LP_PREFIX, lp_free)
#define lp_add LP_JOIN(LP_PREFIX, lp_add)
#define lp_add_row LP_JOIN(LP_PREFIX, lp_add_row)
#define lp_set_row LP_JOIN(LP_PREFIX, lp_set_row)
#define lp_set_limits LP_JOIN(LP_PREFIX, lp_set_limits)
#define lp_set_cost LP_JOIN(LP_PREFIX, lp_set_cost)
#define lp_solve LP_JOIN(LP_PREFIX, lp_solve)
#define lp_solve_dual LP_JOIN(LP_PREFIX, lp_solve_dual)
#define lp_values LP_JOIN(LP_PREFIX, lp_values)
#define lp_prices LP_JOIN(LP_PREFIX, lp_prices)
#define lp_reduced LP_JOIN(LP_PREFIX, lp_reduced)
#define lp_cost LP_JOIN(LP_PREFIX, lp_cost)
#define lp_column_state LP_JOIN(LP_PREFIX, lp_column_state)
#define lp_row_state LP_JOIN(LP_PREFIX, lp_row_state)
#define lp_pivots LP_JOIN(LP_PREFIX, lp_pivots)
#endif

#include "cutting/lp.h"

#endif
