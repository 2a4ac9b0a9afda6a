/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"station", "station", COLUMN_TEXT},
                                           {"labels", "labels", COLUMN_NUMBER}};
    int code = EXIT_DONE;
    for (int i = 0; i < program->argument_count && code == EXIT_DONE; i++)
        code = program_show(program, "label.reprint",
                            json_pack("{s:s, s:s*}", "code", program->arguments[i], "reason",
                                      program_option(program, "reason")),
                            fields, sizeof fields / sizeof fields[0]);
    return code;
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_label_reprint = {
    .name = "label reprint",
    .group = GROUP_STORES,
    .arguments = "CODE...",
    .least = 1,
    .most = -1,
    .summary = "Print labels once more, as marked reprints with new codes; the old ones are void then",
    .options = options,
    .run = run,
};
