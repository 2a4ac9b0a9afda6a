/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static void show_list(const struct screen *screen, const char *section, const char *what,
                      const json_t *codes) {
    size_t index;
    json_t *code;
    if (json_array_size(codes) == 0)
        return;
    fprintf(screen->file, "%s %s:", section, what);
    json_array_foreach((json_t *)codes, index, code) {
        putc(' ', screen->file);
        screen_text(screen, PAINT_BOLD, json_string_value(code));
    }
    putc('\n', screen->file);
}

static void show(const struct program *program, const json_t *answer) {
    static const char *const words[] = {"added", "changed", "removed"};
    json_t *changes = json_object_get(answer, "changes"), *change;
    const json_t *version = json_object_get(answer, "version");
    const char *section;
    json_object_foreach(changes, section, change) {
        for (size_t i = 0; i < 3; i++)
            show_list(&program->screen, section, words[i], json_object_get(change, words[i]));
    }
    if (json_object_size(changes) == 0)
        fputs("Nothing changes.\n", program->screen.file);
    if (version != NULL)
        fprintf(program->screen.file, "The catalogue is now version %" JSON_INTEGER_FORMAT ".\n",
                json_integer_value(version));
}

static int run(struct program *program) {
    json_t *document = program_read(program, program->arguments[0]), *answer = NULL;
    if (document == NULL)
        return EXIT_USAGE;
    int code = program_call(
        program, "catalogue.import",
        json_pack("{s:o, s:b}", "catalogue", document, "dry_run", program_switch(program, "dry-run")),
        &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {{"dry-run", NULL, "Only say what would change"}, {0}};

const struct command command_catalogue_import = {
    .name = "catalogue import",
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Check a catalogue as a whole and make it the workshop's",
    .options = options,
    .run = run,
};
