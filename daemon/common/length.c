/* SPDX-License-Identifier: Apache-2.0 */
#include <ellwand/length.h>

#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

char *ell_length_text(ell_length length, char text[ELL_LENGTH_TEXT]) {
    int64_t whole = length / 10, tenth = length % 10;
    const char *sign = length < 0 ? "-" : "";
    if (tenth == 0)
        snprintf(text, ELL_LENGTH_TEXT, "%" PRId64, whole);
    else
        snprintf(text, ELL_LENGTH_TEXT, "%s%" PRId64 ".%d", sign, whole < 0 ? -whole : whole,
                 abs((int)tenth));
    return text;
}

bool ell_length_from_mm(double mm, ell_length *length) {
    if (!isfinite(mm) || fabs(mm) > (double)ELL_LENGTH_MAX / 10)
        return false;
    double tenths = round(mm * 10);
    if (fabs(mm * 10 - tenths) > 1e-5)
        return false;
    *length = (ell_length)tenths;
    return true;
}

static const char *skip_blanks(const char *at) {
    while (*at == ' ' || *at == '\t')
        at++;
    return at;
}

/* Digits with an optional decimal part; no sign, no exponent, so that strtod cannot take "inf" or "0x". */
static const char *read_number(const char *at, double *number) {
    const char *end = at;
    while (isdigit((unsigned char)*end))
        end++;
    if (end == at || end - at > 12)
        return NULL;
    if (*end == '.') {
        const char *decimals = ++end;
        while (isdigit((unsigned char)*end))
            end++;
        if (end == decimals || end - decimals > 12)
            return NULL;
    }
    char copy[32];
    memcpy(copy, at, (size_t)(end - at));
    copy[end - at] = '\0';
    *number = strtod(copy, NULL);
    return end;
}

/* " 1/2" after whole inches, or the rest of "1/2" alone. */
static const char *read_fraction(const char *at, double *number) {
    double over, under;
    if (*at == '/') {
        const char *end = read_number(at + 1, &under);
        if (end == NULL || under <= 0)
            return NULL;
        *number /= under;
        return end;
    }
    const char *next = skip_blanks(at);
    const char *slash = read_number(next, &over);
    if (next == at || slash == NULL || *slash != '/')
        return at;
    const char *end = read_number(slash + 1, &under);
    if (end == NULL || under <= 0)
        return NULL;
    *number += over / under;
    return end;
}

bool ell_length_parse(const char *text, ell_length *length) {
    static const struct {
        const char *unit;
        double mm;
        bool rounds;
    } units[] = {{"", 1, false},     {"mm", 1, false},    {"cm", 10, false},
                 {"m", 1000, false}, {"in", 25.4, true},  {"inch", 25.4, true},
                 {"\"", 25.4, true}, {"ft", 304.8, true}, {"inches", 25.4, true}};
    double number;
    const char *at = read_number(skip_blanks(text), &number);
    if (at == NULL || (at = read_fraction(at, &number)) == NULL)
        return false;
    at = skip_blanks(at);
    size_t unit_bytes = strcspn(at, " \t\r\n");
    if (*skip_blanks(at + unit_bytes) != '\0')
        return false;
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strlen(units[i].unit) != unit_bytes || strncasecmp(units[i].unit, at, unit_bytes) != 0)
            continue;
        double mm = number * units[i].mm;
        if (units[i].rounds)
            mm = round(mm * 10) / 10;
        return ell_length_from_mm(mm, length);
    }
    return false;
}
