/* SPDX-License-Identifier: Apache-2.0 */
#include "stores_view.h"

#include <stdlib.h>

static int run(struct program *program) {
    const char *text = program->arguments[0], *reason = program_option(program, "reason");
    char *rest = NULL;
    long long entry = strtoll(text, &rest, 10);
    if (rest == text || *rest != '\0' || entry < 1)
        return program_wrong(program, EXIT_USAGE, text,
                             "This is no number of an entry; see them with: ellwand stock ledger PART");
    if (reason == NULL)
        return program_wrong(program, EXIT_USAGE, "reason", "Say why, with --reason.");
    return stock_call(program, "stock.undo",
                      json_pack("{s:I, s:s}", "entry", (json_int_t)entry, "reason", reason));
}

static const struct command_option options[] = {{"reason", "TEXT", "Why; it stays in the ledger"}, {0}};

const struct command command_stock_undo = {
    .name = "stock undo",
    .group = GROUP_MANAGER,
    .arguments = "ENTRY",
    .least = 1,
    .most = 1,
    .summary = "Take a movement of stock back by a counter-entry; of a move both its ends",
    .more = "ENTRY is its number in `ellwand stock ledger`. Nothing is undone twice, and nothing that would "
            "leave less than "
            "nothing in a bin. Picks are undone with `ellwand kit put-back`.",
    .options = options,
    .run = run,
};
