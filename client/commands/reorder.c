/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column columns[] = {{"part or bar", "code", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT},
                                            {"supplier", "supplier", COLUMN_TEXT},
                                            {"on hand", "on_hand", COLUMN_LENGTH},
                                            {"wanted", "wanted", COLUMN_LENGTH},
                                            {"a week", "weekly", COLUMN_LENGTH},
                                            {"lead days", "lead_days", COLUMN_NUMBER},
                                            {"by", "law", COLUMN_TEXT},
                                            {"safety", "safety_stock", COLUMN_LENGTH},
                                            {"reorder at", "reorder_point", COLUMN_LENGTH},
                                            {"buy", "buy", COLUMN_LENGTH}};
    bool all = program_switch(program, "all");
    json_t *body = json_pack("{s:b, s:s*}", "due_only", !all, "part", program_option(program, "part"));
    const char *service = program_option(program, "service");
    if (service != NULL) {
        json_t *number = json_loads(service, JSON_DECODE_ANY, NULL);
        if (!json_is_number(number)) {
            json_decref(number);
            json_decref(body);
            return program_wrong(program, EXIT_USAGE, "--service", "A number from 0.5 to 0.9999 is wanted.");
        }
        json_object_set_new(body, "service", number);
    }
    return program_list(program, "reorder.list", body, "lines", columns, sizeof columns / sizeof columns[0],
                        "Nothing has to be bought now.");
}

static const struct command_option options[] = {
    {"all", NULL, "Also what need not be bought now"},
    {"part", "PART", "Only this part"},
    {"service", "SHARE", "Wanted chance of no shortage in a lead time [0.95]"},
    {0}};

const struct command command_reorder = {
    .name = "reorder",
    .summary = "What to buy now, with the demand and the reorder point it comes from",
    .more = "Demand is what left the bins (or, for bars, what was opened at the saw) week by week. \"By\" "
            "says which law "
            "the reorder point was taken from: normal, poisson, empirical (the sums of the history itself), "
            "or none.",
    .options = options,
    .run = run,
};
