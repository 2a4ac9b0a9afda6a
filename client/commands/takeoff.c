/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "sheet_file.h"

#include "takeoff/order_file.h"
#include "takeoff/takeoff.h"

#include <stdio.h>
#include <stdlib.h>

/* One window: its document is added to `results`. */
static int work_out(struct program *program, const struct survey *survey, const struct catalogue *catalogue,
                    json_t *results) {
    struct takeoff *takeoff = NULL;
    struct fault fault;
    if (!takeoff_compute(survey, catalogue, &takeoff, &fault))
        return program_fault(program, &fault);
    json_t *document = takeoff_document(takeoff);
    char *text = takeoff_text(takeoff, program->screen.width > 0 ? program->screen.width : 100);
    bool refused = takeoff->refused, good = text != NULL && json_array_append_new(results, document) == 0;
    takeoff_free(takeoff);
    if (good && !program->settings.json)
        screen_text(&program->screen, PAINT_PLAIN, text);
    free(text);
    if (!good)
        return program_wrong(program, EXIT_TROUBLE, survey->window, "There is not enough memory.");
    return refused ? EXIT_REFUSED : EXIT_DONE;
}

static int work_out_all(struct program *program, const struct order_file *order,
                        const struct catalogue *catalogue) {
    json_t *results = json_array();
    int code = EXIT_DONE;
    for (size_t i = 0; i < order->window_count; i++) {
        if (i > 0 && !program->settings.json)
            putc('\n', program->screen.file);
        int one = work_out(program, &order->windows[i], catalogue, results);
        code = one > code ? one : code;
    }
    json_t *document = json_pack("{s:s, s:o}", "order", order->order, "windows", results);
    program_json(program, document);
    json_decref(document);
    return code;
}

/* The sheets that are asked for; without a workshop the windows have no code to scan. */
static int draw(struct program *program, const json_t *orders, const struct order_file *order,
                const struct catalogue *catalogue) {
    const char *sheet = program_option(program, "sheet"), *curtains = program_option(program, "curtains");
    if (sheet == NULL && curtains == NULL)
        return EXIT_DONE;
    json_t *windows = json_array();
    struct fault fault;
    for (size_t i = 0; i < order->window_count; i++) {
        char place[32];
        snprintf(place, sizeof place, "windows[%zu]", i);
        json_t *survey = json_array_get(json_object_get(orders, "windows"), i);
        json_t *takeoff = takeoff_run(survey, place, catalogue, &fault);
        if (takeoff == NULL) {
            json_decref(windows);
            return program_fault(program, &fault);
        }
        json_array_append_new(windows, json_pack("{s:O, s:o}", "survey", survey, "takeoff", takeoff));
    }
    json_t *document = json_pack("{s:s, s:s, s:s*, s:s*, s:o}", "order", order->order, "unit", order->unit,
                                 "customer", order->customer[0] ? order->customer : NULL, "due",
                                 order->due[0] ? order->due : NULL, "windows", windows);
    int code = sheet == NULL ? EXIT_DONE : sheet_file_write(program, "fitting-sheet", document, sheet);
    if (code == EXIT_DONE && curtains != NULL)
        code = sheet_file_write(program, "curtain-sheet", document, curtains);
    json_decref(document);
    return code;
}

static int run(struct program *program) {
    const char *path = program_option(program, "catalogue");
    if (path == NULL)
        return program_wrong(program, EXIT_USAGE, "--catalogue", "Say which catalogue file to work from.");
    struct fault fault;
    struct order_file *order = NULL;
    struct catalogue *catalogue = NULL;
    json_t *orders = program_read(program, program->arguments[0]), *rows = NULL;
    if (orders != NULL)
        rows = program_read(program, path);
    int code = EXIT_USAGE;
    if (rows != NULL && ((catalogue = catalogue_read(rows, &fault)) == NULL ||
                         (order = order_file_read(orders, &fault)) == NULL))
        code = program_fault(program, &fault);
    if (order != NULL)
        code = work_out_all(program, order, catalogue);
    if (code == EXIT_DONE)
        code = draw(program, orders, order, catalogue);
    order_file_free(order);
    catalogue_free(catalogue);
    json_decref(rows);
    json_decref(orders);
    return code;
}

static const struct command_option options[] = {
    {"catalogue", "FILE", "The catalogue: systems, parts, fixings"},
    {"sheet", "FILE", "Draw the fitting sheets into this PDF file"},
    {"curtains", "FILE", "Draw the curtain maker's sheet into this PDF file"},
    {0}};

const struct command command_takeoff = {
    .name = "takeoff",
    .group = GROUP_DESK,
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Work out an order's tracks from a file, without a daemon",
    .more = "FILE is an order in JSON. For each window: the pieces to cut, the bracket marks, the parts, the "
            "screws and plugs for that wall, whether the brackets carry the curtain, and what to mind. Ends "
            "with 1 when a window must not be made as surveyed.",
    .options = options,
    .run = run,
};
