/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    char **words = program->arguments;
    json_t *quantity = NULL;
    if (program->argument_count == 4 && (quantity = quantity_read(program, words[3])) == NULL)
        return EXIT_USAGE;
    return kit_call(program, "kit.pick",
                    json_pack("{s:s, s:s, s:s, s:s*, s:o*}", "kit", words[0], "part", words[1], "bin",
                              words[2], "batch", program_option(program, "batch"), "quantity", quantity));
}

static const struct command_option options[] = {{"batch", "BATCH", "Only from this batch"}, {0}};

const struct command command_kit_pick = {
    .name = "kit pick",
    .group = GROUP_STORES,
    .arguments = "KIT PART BIN [QUANTITY]",
    .least = 3,
    .most = 4,
    .summary = "Put a part out of a bin into a kit",
    .more = "Each is the code that a scanner reads, or its name. Without a quantity: all that the kit wants "
            "from there. A part, "
            "bin or quantity that is wrong is refused, with what to do.",
    .options = options,
    .run = run,
};
