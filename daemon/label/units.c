/* SPDX-License-Identifier: Apache-2.0 */
#include "label/units.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

enum label_unit form_unit(struct form *form) {
    static const char *const units[] = {"mm", "cm", "in", NULL};
    return (enum label_unit)form_choice_or(form, "unit", units, UNIT_MM);
}

const char *unit_name(enum label_unit unit) {
    static const char *const names[] = {"mm", "cm", "in"};
    return names[unit];
}

/* A tenth of a millimetre is 32/254 of 1/32 inch. */
static char *inches(ell_length length, char text[ELL_LENGTH_TEXT]) {
    int64_t parts = (llabs(length) * 32 + 127) / 254, over = parts % 32, under = 32;
    const char *sign = length < 0 && parts > 0 ? "-" : "";
    while (over > 0 && over % 2 == 0) {
        over /= 2;
        under /= 2;
    }
    if (over == 0)
        snprintf(text, ELL_LENGTH_TEXT, "%s%" PRId64, sign, parts / 32);
    else if (parts < 32)
        snprintf(text, ELL_LENGTH_TEXT, "%s%d/%d", sign, (int)over, (int)under);
    else
        snprintf(text, ELL_LENGTH_TEXT, "%s%" PRId64 " %d/%d", sign, parts / 32, (int)over, (int)under);
    return text;
}

static char *centimetres(ell_length length, char text[ELL_LENGTH_TEXT]) {
    int64_t whole = llabs(length) / 100, rest = llabs(length) % 100;
    const char *sign = length < 0 ? "-" : "";
    if (rest == 0)
        snprintf(text, ELL_LENGTH_TEXT, "%s%" PRId64, sign, whole);
    else if (rest % 10 == 0)
        snprintf(text, ELL_LENGTH_TEXT, "%s%" PRId64 ".%d", sign, whole, (int)rest / 10);
    else
        snprintf(text, ELL_LENGTH_TEXT, "%s%" PRId64 ".%02d", sign, whole, (int)rest);
    return text;
}

char *unit_figure(ell_length length, enum label_unit unit, char text[ELL_LENGTH_TEXT]) {
    if (unit == UNIT_INCH)
        return inches(length, text);
    return unit == UNIT_CM ? centimetres(length, text) : ell_length_text(length, text);
}

char *unit_text(ell_length length, enum label_unit unit, char text[UNIT_TEXT]) {
    char figure[ELL_LENGTH_TEXT];
    snprintf(text, UNIT_TEXT, "%s %s", unit_figure(length, unit, figure), unit_name(unit));
    return text;
}
