/* SPDX-License-Identifier: Apache-2.0 */
#include "print_view.h"

static int run(struct program *program) {
    const char *to = program_option(program, "to"), *all_of = program_option(program, "all-of");
    if (to == NULL || (all_of == NULL) == (program->argument_count == 0))
        return program_wrong(program, EXIT_USAGE, "print move",
                             "Give --to STATION, and either the numbers of print jobs or --all-of STATION.");
    if (all_of == NULL)
        return print_call_each(program, "print.move");
    return print_move_all(program, all_of);
}

static const struct command_option options[] = {
    {"to", "STATION", "Where they go; they are drawn anew for its labels and its printer"},
    {"all-of", "STATION", "All jobs of this station that are not done"},
    {"reason", "TEXT", "Why; it stays in the history"},
    {0}};

const struct command command_print_move = {
    .name = "print move",
    .group = GROUP_STORES,
    .arguments = "[JOB...]",
    .least = 0,
    .most = -1,
    .summary = "Move print jobs to another station",
    .more = "What has not come out yet goes on there. Where it is not known what came out, the labels are "
            "marked as "
            "reprints with codes of their own, and those that did come out are void.",
    .options = options,
    .run = run,
};
