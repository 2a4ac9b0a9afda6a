/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static json_t *one_line(struct program *program) {
    json_t *line = receipt_line(program, program->arguments);
    return line == NULL
               ? NULL
               : json_pack("{s:[o], s:s*}", "lines", line, "reason", program_option(program, "reason"));
}

static int run(struct program *program) {
    const char *file = program_option(program, "file");
    if ((file == NULL) != (program->argument_count == 3) || (file != NULL && program->argument_count > 0))
        return program_wrong(program, EXIT_USAGE, "stock receive", "Give PART BIN QUANTITY, or --file.");
    json_t *body = file != NULL ? program_read(program, file) : one_line(program);
    return stock_call(program, "stock.receive", body);
}

static const struct command_option options[] = {
    {"file", "FILE",
     "A JSON file {\"kind\": \"receipt\" or \"opening\", \"lines\": [{\"part\", \"bin\", \"quantity\" or "
     "\"boxes\"}]}"},
    {"batch", "BATCH", "Its batch"},
    {"reason", "TEXT", "Delivery note or remark, for the ledger"},
    {0}};

const struct command command_stock_receive = {
    .name = "stock receive",
    .group = GROUP_STORES,
    .arguments = "[PART BIN QUANTITY]",
    .least = 0,
    .most = 3,
    .summary = "Book goods into a bin; the kits that wait for them get them",
    .more = "QUANTITY is a number, a length (\"50 m\") or boxes (\"3 boxes\"): the catalogue says how many "
            "are in one.",
    .options = options,
    .run = run,
};
