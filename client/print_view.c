/* SPDX-License-Identifier: Apache-2.0 */
#include "print_view.h"

#include <stdlib.h>

static json_t *job_number(const struct program *program, const char *text) {
    char *end = NULL;
    long long job = strtoll(text, &end, 10);
    if (end != text && *end == '\0' && job > 0)
        return json_integer(job);
    program_wrong(program, EXIT_USAGE, text, "A print job is a number; `ellwand print list` shows them.");
    return NULL;
}

/* The request about one job, or (text NULL) about all of station `of`; NULL after saying what is wrong. */
static json_t *request(const struct program *program, const char *text, const char *of) {
    json_t *body = json_pack("{s:s*, s:s*, s:s*}", "of", of, "reason", program_option(program, "reason"),
                             "to", program_option(program, "to"));
    int64_t from;
    bool good = program_number(program, "from", 1, 1000, 0, &from);
    json_t *job = good && text != NULL ? job_number(program, text) : NULL;
    if (job != NULL)
        json_object_set_new(body, "job", job);
    if (from > 0)
        json_object_set_new(body, "from", json_integer(from));
    if (good && (text == NULL || job != NULL))
        return body;
    json_decref(body);
    return NULL;
}

static void show(const struct program *program, const json_t *answer) {
    static const struct column fields[] = {{"print job", "job", COLUMN_NUMBER},
                                           {"in place of", "instead_of", COLUMN_NUMBER},
                                           {"state", "state", COLUMN_TEXT},
                                           {"station", "station", COLUMN_TEXT},
                                           {"", "message", COLUMN_TEXT}};
    const json_t *moved = json_object_get(answer, "jobs");
    if (moved != NULL)
        table_print(&program->screen, fields, sizeof fields / sizeof fields[0], moved,
                    "Nothing waits there.");
    else
        fields_print(&program->screen, fields, sizeof fields / sizeof fields[0], answer);
}

static int ask(struct program *program, const char *verb, json_t *body) {
    json_t *answer = NULL;
    int code = body == NULL ? EXIT_USAGE : program_call(program, verb, body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

int print_call_each(struct program *program, const char *verb) {
    int code = EXIT_DONE;
    for (int i = 0; i < program->argument_count && code == EXIT_DONE; i++)
        code = ask(program, verb, request(program, program->arguments[i], NULL));
    return code;
}

int print_move_all(struct program *program, const char *station) {
    return ask(program, "print.move", request(program, NULL, station));
}
