/* UTF-8 for terminals of other character sets. SPDX-License-Identifier: Apache-2.0 */
#include "letters.h"

#include <criterion/criterion.h>
#include <locale.h>
#include <stdlib.h>
#include <string.h>

/* What comes out of `given`, put in steps of `step` bytes, where only ASCII is understood. */
static char *plain(const char *given, size_t step) {
    static char out[256];
    char *text = NULL;
    size_t size;
    struct letters letters = {.used = 0};
    setlocale(LC_ALL, "C");
    FILE *file = open_memstream(&text, &size);
    for (size_t at = 0, all = strlen(given); at < all; at += step)
        cr_assert(letters_put(&letters, given + at, at + step < all ? step : all - at, file));
    fclose(file);
    snprintf(out, sizeof out, "%s", text);
    free(text);
    return out;
}

Test(letters, ascii_goes_through_and_the_rest_has_a_likeness) {
    for (size_t step = 1; step < 9; step++) {
        cr_assert_str_eq(plain("Lark glider\n\t5", step), "Lark glider\n\t5");
        cr_assert_str_eq(plain("Ko\xC3\xBCl\xE2\x80\xA6 2 \xC3\x97 \xF0\x9F\x94\xA8.", step),
                         "Ko?l... 2 x ?.");
    }
}

Test(letters, broken_bytes_do_no_harm) {
    cr_assert_str_eq(plain("a\xC3z \xE2\x80 \xFF \x80", 3), "a?z ? ? ?");
}
