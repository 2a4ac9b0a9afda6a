/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static int run(struct program *program) {
    char **words = program->arguments;
    json_t *quantity = quantity_read(program, words[3]);
    json_t *body = quantity == NULL ? NULL
                                    : json_pack("{s:[{s:s, s:s, s:s, s:o, s:s*}], s:s*}", "lines", "part",
                                                words[0], "from", words[1], "to", words[2], "quantity",
                                                quantity, "batch", program_option(program, "batch"), "reason",
                                                program_option(program, "reason"));
    return stock_call(program, "stock.move", body);
}

static const struct command_option options[] = {
    {"batch", "BATCH", "Of this batch"}, {"reason", "TEXT", "Why; it stays in the ledger"}, {0}};

const struct command command_stock_move = {
    .name = "stock move",
    .group = GROUP_STORES,
    .arguments = "PART FROM TO QUANTITY",
    .least = 4,
    .most = 4,
    .summary = "Move parts from one bin to another",
    .options = options,
    .run = run,
};
