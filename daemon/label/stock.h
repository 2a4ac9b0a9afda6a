/* Label stock: the size of one label, alone on a roll or many on a sheet.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_STOCK_H
#define ELLWAND_LABEL_STOCK_H

#include "common/document.h"

struct label_stock {
    char code[32];
    char name[96];
    ell_length width, height; /* of one label, as it is read */
    int dots_per_inch;        /* of the printer it is loaded in; 0 when not known */
    /* Several labels on a sheet: columns is 0 for labels that come one by one. */
    int columns, rows;
    ell_length sheet_width, sheet_height;
    ell_length left, top;      /* of the first label */
    ell_length step_x, step_y; /* from one label to the next; at least width and height */
    int used;                  /* labels of the first sheet that are gone already */
};

/* Reads
 * {"code","name","width","height","dots_per_inch"?,"sheet"?:{"width","height","columns","rows","left","top",
 * "step_x","step_y"}}, lengths in mm. `path` names it in messages. Labels are 25 to 420 mm wide and 6 to 420
 * mm high, and must lie on their sheet. False and fault otherwise; *stock is then untouched. */
bool label_stock_read(const json_t *json, const char *path, struct label_stock *stock,
                      struct fault *fault) MUST_CHECK;

/* Labels on a sheet; 1 where they come one by one. */
int label_stock_places(const struct label_stock *stock);

/* The size of the page that is printed: the sheet's, or the label's own. */
ell_length label_stock_page_width(const struct label_stock *stock);
ell_length label_stock_page_height(const struct label_stock *stock);

/* A4 paper (ISO 216), for the sheets and lists. */
extern const struct label_stock label_stock_a4;

#endif
