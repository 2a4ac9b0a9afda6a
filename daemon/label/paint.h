/* Pages to PDF. The same pages always give the same bytes: no dates and no random names go into the file.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_PAINT_H
#define ELLWAND_LABEL_PAINT_H

#include "label/page.h"

#include <stddef.h>

/* A document being written. */
struct paint;

/* NULL when there is not enough memory. `title` goes into the document's properties. */
struct paint *paint_open(const char *title);
/* Paints a page as one more page of its own size. */
void paint_page(struct paint *paint, const struct page *page);
/* Ends the document and frees it. *bytes is malloc'ed, *count its length, *pages how many were painted. False
 * and fault "out-of-memory" otherwise; the outputs are then untouched. With bytes NULL the document is thrown
 * away. */
bool paint_close(struct paint *paint, unsigned char **bytes, size_t *count, unsigned *pages,
                 struct fault *fault);

#endif
