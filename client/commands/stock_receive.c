/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

static json_t *one_line(struct program *program) {
    char **words = program->arguments;
    json_t *quantity = quantity_read(program, words[2]);
    return quantity == NULL
               ? NULL
               : json_pack("{s:[{s:s, s:s, s:o, s:s*}], s:s*}", "lines", "part", words[0], "bin", words[1],
                           "quantity", quantity, "batch", program_option(program, "batch"), "reason",
                           program_option(program, "reason"));
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
     "A JSON file {\"kind\": \"receipt\" or \"opening\", \"lines\": [{\"part\", \"bin\", \"quantity\"}]}"},
    {"batch", "BATCH", "Its batch"},
    {"reason", "TEXT", "Delivery note or remark, for the ledger"},
    {0}};

const struct command command_stock_receive = {
    .name = "stock receive",
    .arguments = "[PART BIN QUANTITY]",
    .least = 0,
    .most = 3,
    .summary = "Book goods into a bin; the kits that wait for them get them",
    .options = options,
    .run = run,
};
