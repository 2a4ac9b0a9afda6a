/* SPDX-License-Identifier: Apache-2.0 */
#include "advice_view.h"
#include "command.h"
#include "file_text.h"
#include "order_documents.h"

/* What has come of all files so far. */
struct taking {
    struct program *program;
    json_t *taken;  /* what the daemon answered for each order */
    json_t *advice; /* of all their windows */
    int code;       /* the first that was not EXIT_DONE */
};

static void keep_code(struct taking *taking, int code) {
    if (taking->code == EXIT_DONE)
        taking->code = code;
}

static void show_taken(const struct taking *taking, const json_t *order) {
    const json_t *windows = json_object_get(order, "windows");
    size_t pieces = 0, at, lacking = json_array_size(json_object_get(order, "short"));
    json_t *window;
    json_array_foreach((json_t *)windows, at, window) pieces +=
        json_array_size(json_object_get(window, "pieces"));
    fprintf(taking->program->screen.file, "%s taken: windows %zu, pieces %zu%s\n",
            json_string_value(json_object_get(order, "order")), json_array_size(windows), pieces,
            lacking > 0 ? "; parts are short, see: ellwand order show" : "");
    json_array_foreach((json_t *)windows, at, window) {
        char name[128];
        snprintf(name, sizeof name, "%s %s", json_string_value(json_object_get(order, "order")),
                 json_string_value(json_object_get(window, "window")));
        advice_add(taking->advice, name, json_object_get(window, "advice"), false);
    }
}

static void take_order(struct taking *taking, const char *path, json_t *order) {
    json_t *result = NULL;
    const char *number = json_string_value(json_object_get(order, "order"));
    int code = program_call(taking->program, "order.take", json_incref(order), &result);
    keep_code(taking, code);
    if (code != EXIT_DONE) {
        program_wrong(taking->program, code, path, "Order %s was not taken.",
                      number != NULL ? number : "without number");
        return;
    }
    if (!taking->program->settings.json)
        show_taken(taking, result);
    json_array_append_new(taking->taken, result);
}

static void take_file(struct taking *taking, const char *path) {
    json_t *content = order_documents(taking->program, path);
    if (content == NULL)
        keep_code(taking, EXIT_USAGE);
    else if (!json_is_array(content))
        take_order(taking, path, content);
    size_t at;
    json_t *order;
    json_array_foreach(content, at, order) {
        /* After a lost connection or a refused key the rest would fail alike. */
        if (taking->code > EXIT_USAGE)
            break;
        take_order(taking, path, order);
    }
    json_decref(content);
}

static int run(struct program *program) {
    if (program->settings.request_id[0] != '\0' &&
        (program->argument_count > 1 || file_is_csv(program->arguments[0])))
        return program_wrong(program, EXIT_USAGE, "--request-id", "One id cannot stand for several orders.");
    struct taking taking = {.program = program, .taken = json_array(), .advice = json_array()};
    for (int i = 0; i < program->argument_count && taking.code <= EXIT_USAGE; i++)
        take_file(&taking, program->arguments[i]);
    if (!program_json(program, taking.taken))
        advice_print(&program->screen, taking.advice);
    json_decref(taking.advice);
    json_decref(taking.taken);
    return taking.code;
}

const struct command command_order_take = {
    .name = "order take",
    .group = GROUP_DESK,
    .arguments = "FILE...",
    .least = 1,
    .most = -1,
    .summary = "Take orders from survey files",
    .more = "A FILE is JSON with one order or a list of them, or CSV (its name ends in .csv) with a line for "
            "each window. Each order is taken whole or not at all; one that is refused does not hold up the "
            "others.",
    .run = run,
};
