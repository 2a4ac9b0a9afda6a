/* Lengths: integers in tenths of a millimetre, everywhere in C and in the database.
 *
 * JSON carries millimetres with at most one decimal; people may also type cm and inches.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LENGTH_H
#define ELLWAND_LENGTH_H

#include <ellwand/version.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Tenths of a millimetre. */
typedef int64_t ell_length;

#define ELL_MM ((ell_length)10)

/* The longest length that any input may carry: 100 km. Sums of 10^9 such lengths still fit in 63 bits. */
#define ELL_LENGTH_MAX ((ell_length)1000000000)

/* Bytes that ell_length_text needs, the closing NUL included. */
#define ELL_LENGTH_TEXT 24

/* Writes `length` in millimetres with no decimal or one ("1830", "1874.5", "-0.5") and returns `text`. */
ELL_API char *ell_length_text(ell_length length, char text[ELL_LENGTH_TEXT]);

/* Millimetres as a number (from JSON) to tenths. False when not finite, beyond +-ELL_LENGTH_MAX, or finer
 * than a tenth (a double stands for a tenth when it is within 1e-6 mm of it); *length is then untouched. */
ELL_API bool ell_length_from_mm(double mm, ell_length *length) __attribute__((warn_unused_result));

/* What a person types: a number with an optional unit, "1830", "183 cm", "1.83m", "72 in", "72 1/2 in",
 * "1/2 in", "72.5\"". No unit means millimetres. Inches (25.4 mm exactly, ISO 31-1 / international inch) round to the
 * nearest tenth. False when it is not such a text or out of bounds; *length is then untouched. */
ELL_API bool ell_length_parse(const char *text, ell_length *length) __attribute__((warn_unused_result));

#ifdef __cplusplus
}
#endif

#endif
