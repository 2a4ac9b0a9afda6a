/* Plots for people: SVG, PNG or PDF by the file's name. Black and greys, every figure written beside its mark, so that they
 * stand being printed on any printer; axes named with their unit; days as ISO 8601.
 *
 *     struct plot *plot;
 *     if (plot_open("scrap.svg", &text, &plot, fault)) {
 *         plot_columns(plot, items, count);
 *         good = plot_close(&plot, fault);
 *     }
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_PLOT_PLOT_H
#define ELLWAND_CLIENT_PLOT_PLOT_H

#include "common/fault.h"

#include <stddef.h>

enum { PLOT_PARTS = 3, PLOT_LABEL = 80, PLOT_NOTE = 48, PLOT_ROWS = 30, PLOT_COLUMNS = 160 };

/* All borrowed until plot_close. */
struct plot_text {
    const char *title, *subtitle;  /* what is shown; of when, and how it was reckoned */
    const char *axis;              /* what the values are, with their unit: "scrap, m" */
    const char *parts[PLOT_PARTS]; /* what each part of an item is; NULL when there is but one */
};

struct plot_item {
    char label[PLOT_LABEL];
    char note[PLOT_NOTE];     /* the figure as it is written beside the mark; "" for none */
    double parts[PLOT_PARTS]; /* laid end to end, from the darkest; 0 or more, but for an item of one part */
};

struct plot;

/* `path` ends in .svg, .png or .pdf (fault "bad-option" else; or "out-of-memory"). The caller owns *plot: one of the kinds
 * below is drawn into it, once, and then it is closed. */
bool plot_open(const char *path, const struct plot_text *text, struct plot **plot,
               struct fault *fault) MUST_CHECK;
/* Writes the file and sets *plot to NULL, also when that fails (fault "no-file"). */
bool plot_close(struct plot **plot, struct fault *fault) MUST_CHECK;

/* Upright columns side by side, for what follows on in time or size. At most PLOT_COLUMNS. */
void plot_columns(struct plot *plot, const struct plot_item *items, size_t count);

/* Lying bars below each other, for what has a name. At most PLOT_ROWS; the caller sums up what is beyond. */
void plot_rows(struct plot *plot, const struct plot_item *items, size_t count);

struct plot_week {
    char week[11];               /* the Monday, "2026-11-30" */
    double stock, coming, going; /* at the week's end; within it */
};

/* A stock week by week as steps, from `start` at the left edge: with the line of its safety stock, what comes in marked, and
 * the first week below each of the two lines (safety, zero) named. At most PLOT_COLUMNS weeks; where it runs out it ends some
 * weeks later. */
void plot_outlook(struct plot *plot, double start, double safety, const struct plot_week *weeks,
                  size_t count);

#endif
