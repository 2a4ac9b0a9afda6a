/* Patterns as the columns of an integer program: a row for each type, one for each class of stock, and one for the places
 * on the rack where they are limited. A column names a row once for each unit that it takes of it, so that the sum of a
 * price over its rows is what the pattern is worth: no factors.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_COLUMNS_H
#define ELLWAND_CUTTING_COLUMNS_H

#include "cutting/enumerate.h"

/* Entries of one column: so that sums of 46 bits over them fit in 64. */
enum { COLUMN_ROWS_MOST = 4096, COLUMN_ENTRIES_MOST = 256 };

struct column {
    int64_t cost; /* net, tenths */
    int64_t most; /* uses that demand and supply allow */
    int32_t stock;
    bool returns;
    uint32_t first, end; /* columns->rows[first .. end): types in rising order, then class, then place */
};

struct columns {
    const struct model *model;
    size_t types, stock_row, place_row, row_count; /* place_row == row_count: no such row */
    struct column *list;
    size_t count, room;
    uint16_t *rows;
    size_t entries, entry_room;
};

/* Every pattern that an optimal plan could need: each multiset of pieces on the unlimited class where it costs least, and
 * on each limited class where it costs less. At most `most` of them and no more than `steps` multisets looked at; else
 * false, with nothing to free, as for want of memory (then `no_memory`), or of rows or entries. The caller frees by columns_free. */
bool columns_all(const struct model *model, size_t most, int64_t steps, struct columns *columns,
                 bool *no_memory);
/* Those of a list. False for want of memory, rows or entries, with nothing to free. */
bool columns_from(const struct engine *engine, const struct choice_list *list, struct columns *columns);
/* Some of them again: kept[0 .. count). False for want of memory, with nothing to free. */
bool columns_keep(const struct columns *all, const uint32_t *kept, size_t count, struct columns *columns);
void columns_free(struct columns *columns);
size_t columns_bytes(const struct columns *columns);

/* Adds the column `times` times to the layout. `parts`: room for the model's types. */
void columns_place(const struct columns *columns, size_t column, int64_t times, struct layout_part *parts,
                   struct layout *layout);

#endif
