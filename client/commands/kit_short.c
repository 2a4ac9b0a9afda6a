/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static void show(const struct program *program, const json_t *answer) {
    const json_t *kit = json_object_get(answer, "kit");
    kit_view(program, kit);
    stock_view(program, answer);
}

static int run(struct program *program) {
    char **words = program->arguments;
    if (program_option(program, "found") == NULL)
        return program_wrong(program, EXIT_USAGE, "--found",
                             "Say how many lie in that bin now, with --found.");
    json_t *answer = NULL, *found = quantity_read(program, program_option(program, "found"));
    if (found == NULL)
        return EXIT_USAGE;
    int code = program_call(program, "kit.short",
                            json_pack("{s:s, s:s, s:s, s:s*, s:o}", "kit", words[0], "part", words[1], "bin",
                                      words[2], "batch", program_option(program, "batch"), "found", found),
                            &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"found", "QUANTITY", "All that lies in the bin now, for this kit or not"},
    {"batch", "BATCH", "Of this batch [the one set aside]"},
    {0}};

const struct command command_kit_short = {
    .name = "kit short",
    .group = GROUP_STORES,
    .arguments = "KIT PART BIN",
    .least = 3,
    .most = 3,
    .summary = "Say that a bin holds less than the books do; the kit gets what lies elsewhere",
    .more =
        "The books are brought to what you found. What was set aside there is given up from the orders due "
        "last; all who are short get what lies in other bins, or a substitute.",
    .options = options,
    .run = run,
};
