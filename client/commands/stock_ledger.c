/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"entry", "entry", COLUMN_NUMBER},
                                            {"at", "at", COLUMN_TIME},
                                            {"what", "kind", COLUMN_TEXT},
                                            {"quantity", "quantity", COLUMN_LENGTH},
                                            {"bin", "bin", COLUMN_TEXT},
                                            {"batch", "batch", COLUMN_TEXT},
                                            {"kit", "kit", COLUMN_TEXT},
                                            {"order", "order", COLUMN_TEXT},
                                            {"window", "window", COLUMN_TEXT | COLUMN_MINOR},
                                            {"undoes", "undoes", COLUMN_NUMBER},
                                            {"undone by", "undone_by", COLUMN_NUMBER},
                                            {"stock-take", "stock_take", COLUMN_NUMBER},
                                            {"key", "key", COLUMN_TEXT},
                                            {"reason", "reason", COLUMN_TEXT | COLUMN_MINOR}};
    int64_t after, limit;
    if (!program_number(program, "after", 1, INT64_MAX, 0, &after) ||
        !program_number(program, "limit", 1, 1000, 50, &limit))
        return EXIT_USAGE;
    json_t *body = json_pack("{s:s, s:I}", "part", program->arguments[0], "limit", (json_int_t)limit);
    if (after > 0)
        json_object_set_new(body, "after", json_integer(after));
    return program_list(program, "stock.ledger", body, "entries", columns, sizeof columns / sizeof columns[0],
                        "Nothing ever came or went.");
}

static const struct command_option options[] = {
    {"limit", "NUMBER", "So many entries [50]"},
    {"after", "ENTRY", "Those before this one in time: the next page"},
    {0}};

const struct command command_stock_ledger = {
    .name = "stock ledger",
    .group = GROUP_STORES,
    .arguments = "PART",
    .least = 1,
    .most = 1,
    .summary = "What came and went of a part, newest first, with who and why",
    .options = options,
    .run = run,
};
