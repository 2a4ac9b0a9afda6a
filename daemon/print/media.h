/* Inside the room: what a queue tells of its media and abilities. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PRINT_MEDIA_H
#define ELLWAND_PRINT_MEDIA_H

#include "print/print.h"

#include <cups/cups.h>

/* Takes an attribute of a queue over, when it is one of media-size-supported, printer-resolution-supported,
 * copies-supported and orientation-requested-supported; else false. */
bool media_take(ipp_attribute_t *attribute, struct print_queue *queue);

#endif
