/* Scan symbols as black rectangles in whole modules: Data Matrix (ISO/IEC 16022) and Code 128 (ISO/IEC
 * 15417). SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_SYMBOL_H
#define ELLWAND_LABEL_SYMBOL_H

#include "common/fault.h"

enum symbology { SYMBOL_DATA_MATRIX, SYMBOL_CODE_128 };

enum { SYMBOL_BARS = 512 };

struct symbol {
    enum symbology symbology;
    int columns, rows; /* modules; a Code 128 symbol has one row, as high as it is drawn */
    int quiet_x; /* modules that must stay white left and right: 2 (1 wanted) for Data Matrix, 10 for Code 128
                  */
    int quiet_y; /* above and below: 2 and 0 */
    int count;
    struct {
        short x, y, width, height; /* modules */
    } bars[SYMBOL_BARS];
};

/* Encodes `content` (1 to 40 printable ASCII characters). False with fault "bad-symbol"; *symbol is then
 * undefined. */
bool symbol_make(enum symbology symbology, const char *content, struct symbol *symbol,
                 struct fault *fault) MUST_CHECK;

/* The module's size in millimetres for a symbol in a box of width x height mm, its quiet zone included: as
 * large as the box lets it be, at most 1 mm, always whole dots of a printer of `dots_per_inch` (0: not known,
 * which takes steps of 1/8 mm, whole dots at 203 dpi and at least 4 dots at 300 dpi). 0 when a module would
 * come out under 0.25 mm (Code 128) or 0.37 mm (Data Matrix), too small for a hand scanner. "203 dpi" is 8
 * dots a millimetre in every such print head. */
double symbol_module(const struct symbol *symbol, int dots_per_inch, double width, double height);

/* The width of a printer's dot in millimetres, by the same convention; 1/8 mm when not known. */
double symbol_dot(int dots_per_inch);

#endif
