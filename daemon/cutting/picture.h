/* A plan's bars drawn to scale as text for a terminal. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_PICTURE_H
#define ELLWAND_CUTTING_PICTURE_H

#include "common/fault.h"

#include <jansson.h>
#include <stddef.h>

struct picture_style {
    int columns;    /* of the terminal, 40 to 400; taken into these bounds */
    bool colour;    /* ANSI colours; without them the drawing says the same */
    bool ascii;     /* lines and hatching of ASCII characters, for terminals that do not take UTF-8 */
    bool bars_only; /* without the totals */
    bool money;     /* values are minor units of money, shown with two decimals, and not millimetres */
};

/* Draws the plan document (plan.h) of the problem document as UTF-8 (names as they are, also with `ascii`) into `text` of `size` bytes, closed by
 * NUL: for each kind of bar a line of what it is, the bar to scale with a name and length in each piece that
 * has room, and what is left; then the totals, what the plan asks of the saw and its offer. All bars share one scale. Saw trim is ░, a remainder that goes
 * back is a dotted box with its length, scrap is ▒ (in ASCII ':', dots and '/'); a kerf is the line between two pieces. Returns the bytes
 * that the whole drawing needs without the NUL, as snprintf does; where that is `size` or more, the text is
 * cut between lines. 0 when the documents do not belong together. */
size_t cutting_picture(const json_t *problem, const json_t *plan, const struct picture_style *style,
                       char *text, size_t size);

#endif
