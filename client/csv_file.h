/* CSV files of the commands that bring tables in and out. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_CSV_FILE_H
#define ELLWAND_CLIENT_CSV_FILE_H

#include "command.h"

/* The table in a file ("-" is standard input), see csv_table.h; NULL after saying what is wrong where. */
json_t *csv_file_read(const struct program *program, const char *path);

/* Writes a table into `path`, or with NULL to standard output: `columns` names (closed by NULL), then each of `rows` (lists of cells,
 * borrowed). The file is written beside its place first. An exit code, with the reason on standard error. */
int csv_file_write(const struct program *program, const char *path, const char *const columns[],
                   const json_t *rows);

/* Says an error of the daemon; where it names row N of the list `list` ("parts[3].price"), it is told by line and column of
 * the table that those rows came from: `lines` are the lines of those rows, a list of numbers (borrowed). */
int csv_file_refused(struct program *program, const char *path, const char *list, const json_t *lines,
                     const struct ell_error *error);

#endif
