/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include "common/document.h"

#include <string.h>

static int run(struct program *program) {
    const char *text = program->argument_count > 1 ? program->arguments[1] : "{}";
    struct fault fault;
    json_t *body = strcmp(text, "-") == 0 ? document_read_file("-", &document_large, &fault)
                                          : document_read(text, strlen(text), &document_large, &fault);
    if (body == NULL) {
        program_fault(program, &fault);
        return EXIT_USAGE;
    }
    json_t *result = NULL;
    int code = program_call(program, program->arguments[0], body, &result);
    if (code == EXIT_DONE && !program_json(program, result)) {
        json_dumpf(result, program->screen.file, JSON_INDENT(2) | JSON_ENCODE_ANY | JSON_REAL_PRECISION(15));
        putc('\n', program->screen.file);
    }
    json_decref(result);
    return code;
}

const struct command command_call = {
    .name = "call",
    .group = GROUP_ANYONE,
    .arguments = "VERB [JSON]",
    .least = 1,
    .most = 2,
    .summary = "Send one request as it is and print the answer",
    .more = "JSON is the body of the request, {} if not given; - reads it from standard input. The verbs are "
            "listed in the protocol page and by: ellwandd verbs",
    .run = run,
};
