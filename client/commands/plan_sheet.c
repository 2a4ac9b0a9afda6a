/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_number.h"
#include "sheet_file.h"

#include <stdio.h>

static int run(struct program *program) {
    int64_t number;
    json_t *sheet = NULL;
    char own[40];
    if (!plan_number(program, 0, &number))
        return EXIT_USAGE;
    const char *path = program_option(program, "out");
    if (path == NULL) {
        snprintf(own, sizeof own, "plan-%lld.pdf", (long long)number);
        path = own;
    }
    int code = program_call(program, "plan.sheet", json_pack("{s:I}", "plan", (json_int_t)number), &sheet);
    if (code == EXIT_DONE)
        code = sheet_file_write(program, "cut-sheet", sheet, path);
    json_decref(sheet);
    return code;
}

static const struct command_option options[] = {{"out", "FILE", "Where the PDF goes [plan-NUMBER.pdf]"}, {0}};

const struct command command_plan_sheet = {
    .name = "plan sheet",
    .group = GROUP_SAW,
    .arguments = "PLAN",
    .least = 1,
    .most = 1,
    .summary = "The cut sheet of a plan as PDF: bar after bar, stop by stop",
    .options = options,
    .run = run,
};
