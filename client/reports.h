/* The reports that `ellwand report` shows, each as a table, as CSV and as a plot. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_REPORTS_H
#define ELLWAND_CLIENT_REPORTS_H

#include "plot/plot.h"
#include "screen.h"

#include <jansson.h>

struct report {
    const char *name, *verb, *summary;
    const struct column *columns; /* of `rows` */
    size_t column_count;
    const struct column *totals; /* of `totals`, below the table */
    size_t total_count;
    const char *nothing; /* said when there are no rows */
    /* Draws `result`; NULL where a picture would say no more than the table. */
    bool (*draw)(const json_t *result, const char *path, struct fault *fault);
};

/* Closed by one whose name is NULL. */
extern const struct report reports[];
/* NULL when there is none of that name. */
const struct report *report_named(const char *name);

/* Pictures; report_plots.c. Fault as of plot_open and plot_close. */
bool draw_stock(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_rack(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_yield(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_projection(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_metres(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_shortages(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_late(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_dead(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;
bool draw_use(const json_t *result, const char *path, struct fault *fault) MUST_CHECK;

#endif
