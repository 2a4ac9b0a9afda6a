/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_view.h"
#include "purchase_view.h"
#include "stores_view.h"

static json_t *read_parts(const struct program *program) {
    json_t *line = receipt_line(program, program->arguments + 1);
    return line == NULL ? NULL : json_pack("{s:[o]}", "lines", line);
}

static json_t *read_bars(const struct program *program) {
    char **words = program->arguments;
    int64_t count;
    if (!program_number(program, "count", 1, 500, 1, &count))
        return NULL;
    return json_pack("{s:[{s:s, s:s, s:s, s:I, s:s*, s:s*}]}", "bars", "system", words[1], "finish", words[2],
                     "length", words[3], "count", (json_int_t)count, "batch",
                     program_option(program, "batch"), "place", program_option(program, "place"));
}

/* What came, from a file or the command line; NULL after saying what is wrong. */
static json_t *read_goods(const struct program *program) {
    const char *file = program_option(program, "file");
    if ((file == NULL) != (program->argument_count == 4) || (file != NULL && program->argument_count != 1)) {
        program_wrong(program, EXIT_USAGE, "purchase receive",
                      "Give PURCHASE PART BIN QUANTITY, or --bars PURCHASE SYSTEM FINISH LENGTH, or PURCHASE "
                      "--file FILE.");
        return NULL;
    }
    if (file != NULL)
        return program_read(program, file);
    return program_switch(program, "bars") ? read_bars(program) : read_parts(program);
}

static void show(const struct program *program, const json_t *answer) {
    static const struct column bars[] = {{"bar", "code", COLUMN_TEXT}};
    if (json_array_size(json_object_get(answer, "bars")) > 0)
        table_print(&program->screen, bars, 1, json_object_get(answer, "bars"), "");
    labels_view(&program->screen, answer);
    stock_view(program, answer);
    purchase_view(&program->screen, json_object_get(answer, "purchase"));
}

static int run(struct program *program) {
    int64_t number;
    if (!purchase_number(program, &number))
        return EXIT_USAGE;
    json_t *answer = NULL, *body = read_goods(program);
    if (body == NULL)
        return EXIT_USAGE;
    json_object_set_new(body, "purchase", json_integer(number));
    if (program_switch(program, "over"))
        json_object_set_new(body, "over", json_true());
    if (program_option(program, "reason") != NULL)
        json_object_set_new(body, "reason", json_string(program_option(program, "reason")));
    int code = program_call(program, "purchase.receive", body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"bars", NULL, "Bars came: PURCHASE SYSTEM FINISH LENGTH"},
    {"count", "NUMBER", "So many bars alike [1]"},
    {"file", "FILE",
     "A JSON file {\"lines\": [{\"part\", \"bin\", \"quantity\"}], \"bars\": [{\"system\", \"finish\", "
     "\"length\", \"count\"}]}"},
    {"over", NULL, "Keep it also when it is more than was ordered"},
    {"batch", "BATCH", "Its batch"},
    {"place", "PLACE", "Where the bars lie"},
    {"reason", "TEXT", "Delivery note or remark, for the ledger"},
    {0}};

const struct command command_purchase_receive = {
    .name = "purchase receive",
    .group = GROUP_STORES,
    .arguments = "PURCHASE [PART BIN QUANTITY]",
    .least = 1,
    .most = 4,
    .summary = "Take in what came of a purchase: parts into a bin, bars on the rack",
    .more = "QUANTITY is a number, a length (\"50 m\") or boxes (\"3 boxes\"): the catalogue says how many "
            "are in one.",
    .options = options,
    .run = run,
};
