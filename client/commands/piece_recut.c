/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {{"piece", "piece", COLUMN_NUMBER}, {"is", "state", COLUMN_TEXT}};
    const char *reason = program_option(program, "reason");
    if (reason == NULL)
        return program_wrong(program, EXIT_USAGE, "reason", "Say what is wrong with it, with --reason.");
    return program_show(program, "piece.recut",
                        json_pack("{s:s, s:s}", "piece", program->arguments[0], "reason", reason), fields,
                        sizeof fields / sizeof fields[0]);
}

static const struct command_option options[] = {{"reason", "TEXT", "What is wrong with it"}, {0}};

const struct command command_piece_recut = {
    .name = "piece recut",
    .group = GROUP_SAW,
    .arguments = "PIECE",
    .least = 1,
    .most = 1,
    .summary = "Send a cut piece that is bad back to be planned and cut again",
    .options = options,
    .run = run,
};
