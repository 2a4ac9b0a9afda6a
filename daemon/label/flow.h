/* Inside the room: strips one below the other over A4 pages, with a head on each page and a foot that counts them.
 * A document is laid out twice, the first time only to count its pages.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_FLOW_H
#define ELLWAND_LABEL_FLOW_H

#include "label/code.h"
#include "label/page.h"
#include "label/paint.h"

/* What stands at the top of each page. */
struct flow_head {
    const char *title;    /* what this sheet is: "Fitting sheet" */
    char name[160];       /* whose it is, large */
    char lines[3][256];   /* beside or below it */
    char code[CODE_TEXT]; /* "": none */
    const char *foot;     /* a sentence at the foot of each page, or NULL */
};

struct flow {
    struct page page;
    struct paint *paint; /* NULL while the pages are counted */
    struct flow_head head;
    struct area rest; /* of the page */
    int number, total;
};

/* Goes on under a new head, on a new page. */
void flow_begin(struct flow *flow, const struct flow_head *head);
/* A strip of `height` mm, on the next page when this one has not enough left. A strip higher than a page is cut to one. */
struct area flow_take(struct flow *flow, double height);
/* Goes to the next page unless `height` mm are left. */
void flow_keep(struct flow *flow, double height);
void flow_gap(struct flow *flow, double height);
/* A heading, kept together with `below` mm of what follows. */
void flow_heading(struct flow *flow, const char *text, double below);
/* A paragraph over as many lines as it needs, after a sign ("1", "•") in a column of its own; NULL for none. */
void flow_paragraph(struct flow *flow, const char *sign, const char *text, double points);
/* A caution: triangle and text. */
void flow_caution(struct flow *flow, const char *text, double points);

/* Lays a document out by `compose`, which begins flows and takes strips. */
typedef void flow_compose(struct flow *flow, const void *data);
bool flow_render(const char *title, flow_compose *compose, const void *data, struct fault *fault,
                 unsigned char **bytes, size_t *count, unsigned *pages, unsigned *missing);

/* The letters of sheets: figures that must be read at arm's length, text, what is by the way. */
#define SHEET_TEXT 9.5
#define SHEET_SMALL 8.0

/* A column of a table: a share of the width and how its text stands. */
struct flow_column {
    const char *name;
    double share;
    enum align align;
    bool bold;
};
/* A row of `count` cells over the width of `row`, ruled below; the head row when `cells` is NULL. */
void flow_row(struct flow *flow, struct area row, const struct flow_column *columns, int count,
              const char *const *cells, double points);

#endif
