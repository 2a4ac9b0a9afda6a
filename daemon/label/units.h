/* Inside the room: lengths as people read them, in the unit of their order. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_UNITS_H
#define ELLWAND_LABEL_UNITS_H

#include "common/document.h"

enum label_unit { UNIT_MM, UNIT_CM, UNIT_INCH };

/* Reads the field "unit" ("mm", which it is when absent, "cm" or "in"). */
enum label_unit form_unit(struct form *form);

/* "mm", "cm", "in". */
const char *unit_name(enum label_unit unit);

/* The figure alone: "1830.5", "183.05", or inches to the nearest 1/32 as a carpenter says them ("72 1/16", "1/2", "96"; an
 * inch is 25.4 mm). Returns `text`. */
char *unit_figure(ell_length length, enum label_unit unit, char text[ELL_LENGTH_TEXT]);

/* Bytes that unit_text needs. */
enum { UNIT_TEXT = ELL_LENGTH_TEXT + 4 };

/* The figure with its unit: "1830.5 mm", "72 1/16 in". Returns `text`. */
char *unit_text(ell_length length, enum label_unit unit, char text[UNIT_TEXT]);

#endif
