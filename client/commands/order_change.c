/* SPDX-License-Identifier: Apache-2.0 */
#include "order_documents.h"
#include "order_give_up.h"
#include "order_view.h"

#include <string.h>

/* The windows of the one order that the file holds, NULL after saying what is wrong with it. */
static json_t *read_windows(const struct program *program, const char *path) {
    json_t *content = order_documents(program, path);
    if (content == NULL)
        return NULL;
    const json_t *order = json_is_array(content) ? json_array_get(content, 0) : content;
    const char *number = json_string_value(json_object_get(order, "order"));
    json_t *windows = json_incref(json_object_get(order, "windows"));
    if (json_is_array(content) && json_array_size(content) != 1)
        program_wrong(program, EXIT_USAGE, path, "There must be one order in it.");
    else if (number != NULL && strcmp(number, program->arguments[0]) != 0)
        program_wrong(program, EXIT_USAGE, path, "It is of order %s, not of %s.", number,
                      program->arguments[0]);
    else if (!json_is_array(windows))
        program_wrong(program, EXIT_USAGE, path, "There are no windows in it.");
    else {
        json_decref(content);
        return windows;
    }
    json_decref(windows);
    json_decref(content);
    return NULL;
}

static json_t *make_body(const struct program *program) {
    static const char *const texts[] = {"reason", "customer", "due", "notes", "unit"};
    json_t *body = json_pack("{s:s}", "order", program->arguments[0]), *drop = json_array();
    int64_t priority;
    const char *name;
    bool good = program_number(program, "priority", 0, 9, -1, &priority);
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        if (program_option(program, texts[i]) != NULL)
            json_object_set_new(body, texts[i], json_string(program_option(program, texts[i])));
    for (int i = 0; (name = program_option_at(program, "drop", i)) != NULL; i++)
        json_array_append_new(drop, json_string(name));
    if (priority >= 0)
        json_object_set_new(body, "priority", json_integer(priority));
    if (json_array_size(drop) > 0)
        json_object_set(body, "drop", drop);
    json_decref(drop);
    if (good && program->argument_count > 1) {
        json_t *windows = read_windows(program, program->arguments[1]);
        good = windows != NULL && json_object_set_new(body, "windows", windows) == 0;
    }
    if (good)
        return body;
    json_decref(body);
    return NULL;
}

static void show(const struct program *program, const json_t *answer) {
    const json_t *what = json_object_get(answer, "what");
    const char *earlier = json_string_value(json_object_get(what, "earlier"));
    char text[ORDER_CHANGE_TEXT];
    order_given_back(program, answer);
    fprintf(program->screen.file, "%s\n",
            json_object_size(what) > 0 ? order_change_text(what, text) : "Nothing is other than it was.");
    if (earlier != NULL)
        fprintf(program->screen.file, "What was given up is kept as the cancelled order %s.\n", earlier);
    if (json_array_size(json_object_get(answer, "short")) > 0)
        fprintf(program->screen.file, "Parts are short, see: ellwand order show %s\n", program->arguments[0]);
}

static int run(struct program *program) {
    json_t *body = make_body(program), *answer = NULL;
    if (body == NULL)
        return EXIT_USAGE;
    int code = program_call(program, "order.change", body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"due", "DATE", "The day by which it is needed"},
    {"priority", "NUMBER", "0 to 9, first"},
    {"customer", "TEXT", "Who it is for"},
    {"notes", "TEXT", "\"\" takes away what stands there"},
    {"unit", "UNIT", "What its labels show lengths in: mm, cm or in"},
    {"drop", "WINDOW", "Leave this window out. May be repeated"},
    {"reason", "TEXT", "Why; windows do not change without"},
    {0}};

const struct command command_order_change = {
    .name = "order change",
    .group = GROUP_DESK,
    .arguments = "ORDER [FILE]",
    .least = 1,
    .most = 2,
    .summary = "Change an order: its day, or windows measured anew, added or dropped",
    .more = "FILE is a survey file as `order take` reads it, of the windows that change: one whose name is "
            "there already is "
            "made anew, any other is added. What was cut, picked or set aside for a window that changes goes "
            "back as "
            "when an order is cancelled; its old labels are void then.",
    .options = options,
    .run = run,
};
