/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static json_t *body_of(struct program *program) {
    char **words = program->arguments;
    const char *counted = program_option(program, "counted"), *by = program_option(program, "by");
    if ((counted == NULL) == (by == NULL)) {
        program_wrong(program, EXIT_USAGE, "stock adjust", "Give --counted or --by.");
        return NULL;
    }
    json_t *quantity = quantity_read(program, counted != NULL ? counted : by);
    return quantity == NULL
               ? NULL
               : json_pack("{s:[{s:s, s:s, s:o, s:s*}], s:s}", "lines", "part", words[0], "bin", words[1],
                           counted != NULL ? "counted" : "by", quantity, "batch",
                           program_option(program, "batch"), "reason", program_option(program, "reason"));
}

static int run(struct program *program) {
    if (program_option(program, "reason") == NULL)
        return program_wrong(program, EXIT_USAGE, "reason", "Say why, with --reason.");
    return stock_call(program, "stock.adjust", body_of(program));
}

static const struct command_option options[] = {{"counted", "QUANTITY", "What is there"},
                                                {"by", "QUANTITY", "By how much it changes, such as -2"},
                                                {"batch", "BATCH", "Of this batch"},
                                                {"reason", "TEXT", "Why; it stays in the ledger"},
                                                {0}};

const struct command command_stock_adjust = {
    .name = "stock adjust",
    .group = GROUP_STORES,
    .arguments = "PART BIN",
    .least = 2,
    .most = 2,
    .summary = "Correct the books to what is there",
    .more = "Where fewer are there than kits have reserved, the orders due last give theirs up.",
    .options = options,
    .run = run,
};
