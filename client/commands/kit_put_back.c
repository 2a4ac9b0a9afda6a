/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    char **words = program->arguments;
    json_t *quantity = NULL;
    if (program->argument_count == 3 && (quantity = quantity_read(program, words[2])) == NULL)
        return EXIT_USAGE;
    return kit_call(program, "kit.put-back",
                    json_pack("{s:s, s:s, s:s*, s:o*}", "kit", words[0], "part", words[1], "reason",
                              program_option(program, "reason"), "quantity", quantity));
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the ledger"}, {0}};

const struct command command_kit_put_back = {
    .name = "kit put-back",
    .group = GROUP_STORES,
    .arguments = "KIT PART [QUANTITY]",
    .least = 2,
    .most = 3,
    .summary = "Put a part of a kit back into the bin it came from",
    .options = options,
    .run = run,
};
