/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"why", "why", COLUMN_TEXT},
                                            {"days", "days", COLUMN_NUMBER},
                                            {"order", "order", COLUMN_TEXT},
                                            {"due", "due", COLUMN_TEXT},
                                            {"window", "window", COLUMN_TEXT | COLUMN_MINOR},
                                            {"kit", "kit", COLUMN_TEXT | COLUMN_MINOR},
                                            {"part", "part", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT | COLUMN_MINOR},
                                            {"bin", "bin", COLUMN_TEXT},
                                            {"batch", "batch", COLUMN_TEXT},
                                            {"quantity", "quantity", COLUMN_LENGTH}};
    int64_t days;
    if (!program_number(program, "days", 0, 10000, 14, &days))
        return EXIT_USAGE;
    return program_list(program, "stock.loose", json_pack("{s:I}", "days", (json_int_t)days), "reservations",
                        columns, sizeof columns / sizeof columns[0],
                        "Nothing is set aside without something moving.");
}

static const struct command_option options[] = {
    {"days", "NUMBER", "What has not moved for so many days [14]"}, {0}};

const struct command command_stock_loose = {
    .name = "stock loose",
    .group = GROUP_STORES,
    .summary = "What is set aside for orders in which nothing moves",
    .more = "held: the order is on hold; overdue: it should have left by then; idle: nothing was picked, cut "
            "or changed; gone: "
            "nothing waits for it. `ellwand order hold` or `ellwand order cancel` gives it to others.",
    .options = options,
    .run = run,
};
