/* A station that is a folder: each print job is a PDF file in it. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_PRINT_FOLDER_H
#define ELLWAND_DESK_PRINT_FOLDER_H

#include "common/fault.h"

#include <stddef.h>

/* Writes folder/name.pdf: whole and on the disk, or not at all. fault "no-folder" or "cannot-write". */
bool print_folder_write(const char *folder, const char *name, const unsigned char *bytes, size_t count,
                        struct fault *fault) MUST_CHECK;

/* Whether folder/name.pdf is there. */
bool print_folder_has(const char *folder, const char *name);

#endif
