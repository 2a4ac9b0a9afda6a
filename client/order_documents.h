/* Files of orders. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_ORDER_DOCUMENTS_H
#define ELLWAND_CLIENT_ORDER_DOCUMENTS_H

#include "command.h"

/* What a file holds: one order or an array of them, in JSON ("-" is standard input), or in CSV where its name ends in .csv. NULL after
 * saying why, with EXIT_USAGE meant. */
json_t *order_documents(const struct program *program, const char *path);

#endif
