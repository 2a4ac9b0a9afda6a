/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

/* Each line as the sentence that explains it. Takes `body` over. */
static int explain(struct program *program, json_t *body) {
    json_t *answer = NULL;
    int code = program_call(program, "reorder.list", body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer)) {
        const json_t *line;
        size_t index;
        json_array_foreach(json_object_get(answer, "lines"), index, line) {
            screen_text(&program->screen, PAINT_BOLD, json_string_value(json_object_get(line, "code")));
            putc('\n', program->screen.file);
            screen_paragraph(&program->screen, 4, json_string_value(json_object_get(line, "why")));
        }
        if (json_array_size(json_object_get(answer, "lines")) == 0)
            fputs("Nothing has to be bought now.\n", program->screen.file);
    }
    json_decref(answer);
    return code;
}

static int run(struct program *program) {
    static const struct column columns[] = {{"part or bar", "code", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT},
                                            {"supplier", "supplier", COLUMN_TEXT},
                                            {"on hand", "on_hand", COLUMN_LENGTH},
                                            {"wanted", "wanted", COLUMN_LENGTH},
                                            {"on order", "on_order", COLUMN_LENGTH},
                                            {"proposed", "proposed", COLUMN_LENGTH},
                                            {"a week", "weekly", COLUMN_LENGTH | COLUMN_MINOR},
                                            {"lead days", "lead_days", COLUMN_NUMBER | COLUMN_MINOR},
                                            {"by", "law", COLUMN_TEXT | COLUMN_MINOR},
                                            {"guess", "history_short", COLUMN_YES | COLUMN_MINOR},
                                            {"safety", "safety_stock", COLUMN_LENGTH | COLUMN_MINOR},
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
    if (program_switch(program, "why"))
        return explain(program, body);
    return program_list(program, "reorder.list", body, "lines", columns, sizeof columns / sizeof columns[0],
                        "Nothing has to be bought now.");
}

static const struct command_option options[] = {
    {"all", NULL, "Also what need not be bought now"},
    {"part", "PART", "Only this part"},
    {"why", NULL, "In words: the figures that each line comes from"},
    {"service", "SHARE", "Wanted chance of no shortage in a lead time [0.95]"},
    {0}};

const struct command command_reorder = {
    .name = "reorder",
    .summary = "What to buy now, with the demand and the reorder point it comes from",
    .more = "Demand is what left the bins (or, for bars, what was opened at the saw) week by week. \"By\" "
            "says which law "
            "the reorder point was taken from: normal, poisson, empirical (the sums of the history itself), "
            "or none. \"Guess\" marks a history of less than four weeks. With --why each "
            "line is one sentence with all its figures.",
    .options = options,
    .run = run,
};
