/* Some tables of the catalogue exchanged for others. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_CATALOGUE_TABLES_H
#define ELLWAND_DESK_CATALOGUE_TABLES_H

#include "desk/verb.h"

/* The workshop's catalogue with `tables` (borrowed) in place of its own: each a list of rows under the name that it has in the
 * document; or "bars": [{system, and what a bar has}], all bars of all systems. A new reference. NULL and fault: "unknown-field"
 * for another name, "no-catalogue", and of bars "unknown-system" and whatever is wrong with a row. Nothing else of the rows is
 * looked at: the document is read as a whole afterwards. */
json_t *catalogue_with_tables(struct desk_call *call, const json_t *tables, struct fault *fault) MUST_CHECK;

#endif
