/* Tables of the catalogue as CSV. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_CATALOGUE_TABLES_H
#define ELLWAND_CLIENT_CATALOGUE_TABLES_H

#include "command.h"

/* The option "table" of the command, "parts" when it is not given; NULL after saying that there is no such table. */
const char *catalogue_table_name(const struct program *program);

/* The rows of that table of a catalogue document; of "bars" those of all systems. A new list. */
json_t *catalogue_table_rows(const json_t *document, const char *name);

/* Writes them as CSV; a column for each field that any row has. An exit code. */
int catalogue_table_export(const struct program *program, const json_t *document, const char *name,
                           const char *path);

/* Reads them from CSV: a new list of rows, and in *lines (a list, borrowed) where they stand. Empty cells are fields left out.
 * NULL after saying what is wrong where. */
json_t *catalogue_table_import(const struct program *program, const char *path, json_t *lines);

/* Says field by field how the rows of `after` with the codes of `changed` differ from those of `before` (all borrowed). */
void catalogue_table_differences(const struct program *program, const json_t *before, const json_t *after,
                                 const json_t *changed);

#endif
