/* The rack over many days: how a rule for remainders works out. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_BENCH_RACK_H
#define ELLWAND_BENCH_RACK_H

#include <stdbool.h>

enum { RACK_DAYS_MOST = 2000 };

/* Runs so many working days of the same seeded demand under each rule: first-fit on the nearest bar, best-fit decreasing,
 * and the engine with several usable lengths and worths. Prints a JSON line each: metres bought per metre sold, scrap in
 * percent of metres bought, and the rack's count, metres and mean age at the end. `plot` (may be NULL): an SVG file with
 * the number of offcuts day by day. */
bool rack_simulate(int days, const char *plot);

#endif
