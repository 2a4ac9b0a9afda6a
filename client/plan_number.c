/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_number.h"

#include "plan_view.h"

#include <stdlib.h>

bool plan_number(const struct program *program, int index, int64_t *number) {
    const char *text = program->arguments[index];
    char *rest = NULL;
    long long read = strtoll(text, &rest, 10);
    if (rest == text || *rest != '\0' || read < 1) {
        program_wrong(program, EXIT_USAGE, text,
                      "This is no number of a plan; see them with: ellwand plan list");
        return false;
    }
    *number = read;
    return true;
}

static int ask(struct program *program, const char *verb, int64_t number, json_t *answers) {
    json_t *answer = NULL;
    int code = program_call(
        program, verb,
        json_pack("{s:I, s:s*}", "plan", (json_int_t)number, "reason", program_option(program, "reason")),
        &answer);
    if (code != EXIT_DONE)
        return code;
    if (!program->settings.json) {
        const char *state = json_string_value(json_object_get(answer, "state"));
        fprintf(program->screen.file, "Plan %lld is %s.\n", (long long)number, state == NULL ? "" : state);
        labels_view(&program->screen, answer);
    }
    json_array_append_new(answers, answer);
    return EXIT_DONE;
}

int plan_each(struct program *program, const char *verb) {
    json_t *answers = json_array();
    int code = EXIT_DONE;
    if (program->settings.request_id[0] != '\0' && program->argument_count > 1)
        code = program_wrong(program, EXIT_USAGE, "--request-id", "One id cannot stand for several plans.");
    for (int i = 0; code == EXIT_DONE && i < program->argument_count; i++) {
        int64_t number;
        code = plan_number(program, i, &number) ? ask(program, verb, number, answers) : EXIT_USAGE;
    }
    program_json(program, answers);
    json_decref(answers);
    return code;
}
