/* A cutting plan while it is being searched: patterns of types on stock classes, each cut several times.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_LAYOUT_H
#define ELLWAND_CUTTING_LAYOUT_H

#include "cutting/model.h"

struct layout_part {
    int32_t type;
    int32_t count;
};

struct layout_bar {
    int32_t stock;
    bool returns;
    int64_t times;
    int64_t fill; /* sum of widths */
    size_t first, parts;
};

struct layout {
    struct layout_bar *bars;
    size_t bar_count, bar_room;
    struct layout_part *parts;
    size_t part_count, part_room;
    int64_t cost;   /* set by layout_settle */
    int64_t unmet;  /* pieces not placed; set by whoever builds it */
    bool no_memory; /* something could not be added: the layout is not to be used */
};

void layout_free(struct layout *layout);
void layout_reset(struct layout *layout); /* empties it, keeps the memory */

/* Adds `times` bars cut alike. Parts are copied. On want of memory sets no_memory and adds nothing. */
void layout_add(struct layout *layout, int32_t stock, int64_t times, int64_t fill,
                const struct layout_part *parts, size_t part_count);

/* Decides which remainders go back, dearest first while there are places, and adds up the cost. May split a
 * bar's times in two where only some find a place. */
void layout_settle(const struct model *model, struct layout *layout);

/* Makes `target` a copy of `source`. False for want of memory; target is then as it was. */
bool layout_copy(struct layout *target, const struct layout *source) MUST_CHECK;

/* True when `one` is to be preferred: fewer pieces left out, then less cost. */
bool layout_better(const struct layout *one, const struct layout *other);

/* Demand, supply and places not yet used. */
struct residue {
    int64_t *demand; /* type_count */
    int64_t *supply; /* stock_count; INT64_MAX: unlimited */
    int64_t places;  /* INT64_MAX: unlimited */
    int64_t pieces;  /* sum of demand */
    int32_t *next;   /* type_count + 1: a type at or after this one that may still be wanted */
};

bool residue_make(const struct model *model, struct residue *residue) MUST_CHECK;
void residue_free(struct residue *residue);
void residue_reset(const struct model *model, struct residue *residue);
/* Takes a pattern out `times` times. */
void residue_take(const struct model *model, struct residue *residue, int32_t stock, int64_t times,
                  int64_t fill, const struct layout_part *parts, size_t part_count);
/* The first type at or after `type` with demand left; type_count when there is none. */
int32_t residue_next(struct residue *residue, int32_t type);
/* How often a pattern may be cut with what is left. */
int64_t residue_times(const struct residue *residue, int32_t stock, const struct layout_part *parts,
                      size_t part_count);

#endif
