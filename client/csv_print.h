/* Rows as CSV (RFC 4180). SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_CSV_PRINT_H
#define ELLWAND_CLIENT_CSV_PRINT_H

#include "screen.h"

/* A line with the names of the fields, then each row on its line; every value quoted. Figures as in a table (lengths in mm,
 * money with two decimals), moments as they came (ISO 8601). */
void csv_print(FILE *file, const struct column columns[], size_t count, const json_t *rows);

#endif
