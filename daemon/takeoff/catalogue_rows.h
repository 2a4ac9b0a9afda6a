/* Shared by the files that read and check the catalogue. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_CATALOGUE_ROWS_H
#define ELLWAND_TAKEOFF_CATALOGUE_ROWS_H

#include "common/document.h"
#include "takeoff/catalogue.h"

/* The longest length and load that any field takes; what makes sense beyond that is the workshop's
 * business. */
#define CATALOGUE_LONGEST (100000 * ELL_MM)
#define CATALOGUE_STRONGEST 1e6

/* Room for the rows of table `name`, zeroed; NULL when there are none or something went wrong before. */
void *rows_open(struct form *form, const char *name, size_t least, size_t most, size_t row_bytes,
                const json_t **array, size_t *count);

/* Index of the code in a table of `count` rows of `row_bytes` that begin with their code; SIZE_MAX when it
 * is none. */
size_t rows_find(const void *rows, size_t count, size_t row_bytes, const char *code);

/* The row that text field `name` names; `code` is the fault when no row has it. */
size_t rows_reference(struct form *form, const char *name, const void *rows, size_t count, size_t row_bytes,
                      const char *code);

/* A length of 0 or more. */
ell_length rows_length(struct form *form, const char *name);

/* The field "when"; absent, it always holds. Finishes and substrates are read before. */
void condition_read(struct form *form, const struct catalogue *catalogue, struct condition *when);

/* The substitutes of every part, once all parts and what they need are read; `parts` is the document's table. */
bool substitutes_read(const json_t *parts, struct catalogue *catalogue, struct fault *fault) MUST_CHECK;

/* How a thing is bought, beside its price and pack: "least", "prices". Checked here and read from the document by whoever
 * buys, for the take-off has no use for them. */
void terms_check(struct form *form);

bool system_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                 struct track_system *system, struct fault *fault) MUST_CHECK;
void system_free(struct track_system *system);

bool carrier_read(const json_t *json, const char *path, struct carrier *carrier,
                  struct fault *fault) MUST_CHECK;
void carrier_free(struct carrier *carrier);
bool carriers_check(const struct catalogue *catalogue, struct fault *fault) MUST_CHECK;

/* What only the whole can tell. */
bool catalogue_check(const struct catalogue *catalogue, struct fault *fault) MUST_CHECK;

#endif
