/* Sheets as PDF files. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SHEET_FILE_H
#define ELLWAND_CLIENT_SHEET_FILE_H

#include "command.h"

/* Renders a sheet document (label/sheet.h; borrowed) of `kind` into the file `path`, written beside it first so that a
 * half sheet never lies there. Says how many pages; an exit code, with the reason on standard error. */
int sheet_file_write(struct program *program, const char *kind, const json_t *document, const char *path);

#endif
