/* Bounded text. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_COMMON_TEXT_H
#define ELLWAND_COMMON_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* Copies `source` into `target` of `size` bytes, cut before the first character that does not fit whole
 * (UTF-8), always closed by NUL. True when nothing was cut. The two may overlap only if they are equal. */
bool text_copy(char *target, size_t size, const char *source);

/* Length in bytes of `text` if it is valid UTF-8 without control characters other than tab and newline and
 * at most `most` bytes; -1 otherwise. */
long text_check(const char *text, size_t most);

/* Makes `text` printable UTF-8 in its place: each byte that text_check would refuse becomes '?'. */
void text_mend(char *text);

#endif
