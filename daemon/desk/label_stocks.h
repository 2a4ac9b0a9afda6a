/* The label stocks of a catalogue. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_LABEL_STOCKS_H
#define ELLWAND_DESK_LABEL_STOCKS_H

#include "common/document.h"

/* True when the label room can print on every stock of a catalogue document ("label_stocks", which may be left out). False
 * with any fault of label_stock_read, whose place is within the document. */
bool label_stocks_check(const json_t *document, struct fault *fault) MUST_CHECK;

#endif
