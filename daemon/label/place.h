/* Inside the room: how a new item gets onto a page. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_PLACE_H
#define ELLWAND_LABEL_PLACE_H

#include "label/page.h"

/* The next item, zeroed but for its kind; NULL when the page has failed. Valid until the next call. */
struct item *page_item(struct page *page, enum item_kind kind);

#endif
