/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static void show(const struct program *program, const json_t *result) {
    static const struct column checked[] = {{"no", "invariant", COLUMN_NUMBER},
                                            {"what must hold", "says", COLUMN_TEXT},
                                            {"looked at", "checked", COLUMN_NUMBER},
                                            {"broken", "findings", COLUMN_NUMBER}};
    static const struct column findings[] = {{"no", "invariant", COLUMN_NUMBER},
                                             {"where", "subject", COLUMN_TEXT},
                                             {"what is wrong", "message", COLUMN_TEXT}};
    const json_t *found = json_object_get(result, "findings");
    table_print(&program->screen, checked, COUNT(checked), json_object_get(result, "checked"),
                "Nothing was checked.");
    putc('\n', program->screen.file);
    if (json_array_size(found) > 0)
        table_print(&program->screen, findings, COUNT(findings), found, "");
    else
        screen_text(&program->screen, PAINT_GREEN, "All invariants hold.");
    putc('\n', program->screen.file);
}

/* Adds the answer for one invariant to what the others gave. */
static void add(json_t **all, json_t *one) {
    if (*all == NULL) {
        *all = one;
        return;
    }
    json_array_extend(json_object_get(*all, "checked"), json_object_get(one, "checked"));
    json_array_extend(json_object_get(*all, "findings"), json_object_get(one, "findings"));
    json_object_set_new(*all, "clean",
                        json_boolean(json_is_true(json_object_get(*all, "clean")) &&
                                     json_is_true(json_object_get(one, "clean"))));
    json_object_set(*all, "next", json_object_get(one, "next"));
    json_decref(one);
}

/* One by one, so that a person sees which is being checked: with years of books each takes seconds. */
static int check_each(struct program *program, json_t **all) {
    struct progress progress;
    json_int_t next = 1;
    int code = EXIT_DONE;
    progress_begin(&progress, &program->notices, "checking");
    while (code == EXIT_DONE && next > 0) {
        json_t *one = NULL;
        code = program_call(program, "audit", json_pack("{s:I}", "invariant", next), &one);
        if (code != EXIT_DONE)
            break;
        add(all, one);
        const json_t *then = json_object_get(*all, "next");
        next = json_integer_value(json_object_get(then, "invariant"));
        if (next > 0)
            progress_show(&progress, (double)(next - 1) / json_number_value(json_object_get(then, "of")),
                          json_string_value(json_object_get(then, "says")));
    }
    progress_end(&progress);
    return code;
}

static int run(struct program *program) {
    json_t *result = NULL;
    int code = check_each(program, &result);
    if (code == EXIT_DONE && !program_json(program, result))
        show(program, result);
    if (code == EXIT_DONE && !json_is_true(json_object_get(result, "clean")))
        code = EXIT_REFUSED;
    json_decref(result);
    return code;
}

const struct command command_audit = {
    .name = "audit",
    .group = GROUP_MANAGER,
    .summary = "Check every invariant on the live database",
    .more = "Lengths, stock, plans, requests, labels, corded kits and histories must agree with each other "
            "at any moment. Changes nothing. Ends with 1 when something does not hold.",
    .run = run,
};
