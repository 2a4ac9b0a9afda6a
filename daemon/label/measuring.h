/* Inside the room: the measuring sheet, a form that is filled in by hand at the window. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_MEASURING_H
#define ELLWAND_LABEL_MEASURING_H

#include "label/flow.h"
#include "label/units.h"

enum { MEASURING_CHOICES = 12 };

/* A code of the catalogue and what people call it. */
struct choice {
    char code[64], name[128];
};
struct choices {
    struct choice items[MEASURING_CHOICES];
    size_t count;
    bool more; /* than are kept here: the sheet leaves a line to write on */
};

/* The room seen from inside with a letter at each measure, A to F. */
void measuring_draw_room(struct page *page, struct area box);
/* The boxes that these measures are written into. */
void measuring_draw_boxes(struct page *page, struct area box, enum label_unit unit);
/* A bay from above: straights 1, 2, 3 and the angles between them. */
void measuring_draw_bay(struct page *page, struct area box);

/* A line to write on under a small word; `value` stands on it where it is known already. */
void measuring_draw_blank(struct page *page, struct area box, const char *word, const char *value);
/* Boxes to tick under one heading, over as many rows as they need. */
void measuring_draw_choices(struct flow *flow, const char *heading, const struct choices *choices);

#endif
