/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static void show(const struct program *program, const json_t *answer) {
    static const struct column columns[] = {{"purchase", "purchase", COLUMN_NUMBER},
                                            {"supplier", "supplier", COLUMN_TEXT},
                                            {"lines", "lines", COLUMN_NUMBER},
                                            {"cost", "cost", COLUMN_MONEY},
                                            {"below the least order by", "below_least", COLUMN_MONEY}};
    size_t already = json_array_size(json_object_get(answer, "already"));
    table_print(&program->screen, columns, sizeof columns / sizeof columns[0],
                json_object_get(answer, "purchases"), "Nothing more has to be bought now.");
    if (already > 0)
        fprintf(program->screen.file, "Proposed already: %zu; see them with: ellwand purchase list\n",
                already);
}

static int run(struct program *program) {
    json_t *answer = NULL;
    int code = program_call(program, "purchase.propose",
                            json_pack("{s:s*, s:s*}", "part", program_option(program, "part"), "reason",
                                      program_option(program, "reason")),
                            &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"part", "PART", "Only this part"}, {"reason", "TEXT", "Why; it stays in the history"}, {0}};

const struct command command_purchase_propose = {
    .name = "purchase propose",
    .group = GROUP_MANAGER,
    .summary = "Propose to buy what is due: one purchase for each supplier",
    .more =
        "What is due, and why, is told by: ellwand reorder. A proposal can be changed until it is ordered.",
    .options = options,
    .run = run,
};
