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

static int run(struct program *program) {
    json_t *result = NULL;
    int code = program_call(program, "audit", NULL, &result);
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
