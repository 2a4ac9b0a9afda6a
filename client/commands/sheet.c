/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "sheet_file.h"

#include <stdio.h>
#include <string.h>

/* What the fitting sheet takes, out of what order.show gives. */
static json_t *sheet_document(const json_t *order, const char *window_wanted) {
    json_t *windows = json_array();
    size_t index;
    const json_t *window;
    json_array_foreach(json_object_get(order, "windows"), index, window) {
        const char *name = json_string_value(json_object_get(window, "window"));
        if (window_wanted != NULL && (name == NULL || strcmp(name, window_wanted) != 0))
            continue;
        json_array_append_new(windows,
                              json_pack("{s:O, s:O, s:O, s:O*}", "code", json_object_get(window, "code"),
                                        "survey", json_object_get(window, "survey"), "takeoff",
                                        json_object_get(window, "takeoff"), "join_open",
                                        json_object_get(window, "join_open")));
    }
    return json_pack("{s:O, s:O, s:O, s:O?, s:o}", "order", json_object_get(order, "order"), "customer",
                     json_object_get(order, "customer"), "due", json_object_get(order, "due"), "unit",
                     json_object_get(order, "unit"), "windows", windows);
}

static int draw(struct program *program, const json_t *order) {
    const char *path = program_option(program, "out"), *window = program_option(program, "window");
    bool curtains = program_switch(program, "curtains");
    char own[80];
    if (path == NULL) {
        snprintf(own, sizeof own, "%s%s.pdf", json_string_value(json_object_get(order, "order")),
                 curtains ? "-curtains" : "");
        for (char *at = own; *at != '\0'; at++)
            if (*at == '/')
                *at = '-';
        path = own;
    }
    json_t *document = sheet_document(order, window);
    int code = json_array_size(json_object_get(document, "windows")) == 0
                   ? program_wrong(program, EXIT_REFUSED, window, "The order has no such window.")
                   : sheet_file_write(program, curtains ? "curtain-sheet" : "fitting-sheet", document, path);
    json_decref(document);
    return code;
}

static int run(struct program *program) {
    json_t *order = NULL;
    json_t *body = json_pack("{s:s, s:b}", "order", program->arguments[0], "full", 1);
    int code = program_call(program, "order.show", body, &order);
    if (code == EXIT_DONE)
        code = draw(program, order);
    json_decref(order);
    return code;
}

static const struct command_option options[] = {
    {"out", "FILE", "Where the PDF goes [ORDER.pdf, or ORDER-curtains.pdf]"},
    {"window", "WINDOW", "Only this window"},
    {"curtains", NULL, "The curtain maker's sheet: what is sewn, and the cloth for it"},
    {0}};

const struct command command_sheet = {
    .name = "sheet",
    .group = GROUP_DESK,
    .arguments = "ORDER",
    .least = 1,
    .most = 1,
    .summary = "The fitting sheet of an order as PDF: every mark, part, drill and caution",
    .options = options,
    .run = run,
};
