/* Letters to be read from some metres away. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_BENCH_BIG_H
#define ELLWAND_CLIENT_BENCH_BIG_H

#include "screen.h"

/* Prints `text` in letters of 5 lines, or of 3 where `screen` is too narrow and knows half blocks. Returns the lines printed:
 * 0 when it does not fit, or has letters that are not drawn here (A to Z, 0 to 9, and " .-/>"; small ones as capitals). */
int big_print(const struct screen *screen, const char *text);

#endif
