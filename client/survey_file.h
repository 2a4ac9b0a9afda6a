/* The files of a guided entry: the order, and beside it what is begun. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_SURVEY_FILE_H
#define ELLWAND_CLIENT_SURVEY_FILE_H

#include "common/fault.h"

#include <jansson.h>

/* The order in the file, which its reader has taken; *order is NULL when there is no such file. The caller owns it. Fault:
 * "no-file", or what is wrong with it and where. */
bool survey_file_read(const char *path, json_t **order, struct fault *fault) MUST_CHECK;
/* Writes it whole: the file is the old one or the new one. Fault "no-file". */
bool survey_file_write(const char *path, const json_t *order, struct fault *fault) MUST_CHECK;

/* What is begun, in the file `path` with ".begun" after its name; *begun is NULL when there is none. */
bool survey_file_begun(const char *path, json_t **begun, struct fault *fault) MUST_CHECK;
bool survey_file_keep_begun(const char *path, const json_t *begun, struct fault *fault) MUST_CHECK;
void survey_file_forget_begun(const char *path);

#endif
