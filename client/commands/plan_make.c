/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_view.h"

#include <stdlib.h>

/* Room for a plan to wait its turn and be stored, beyond its own time limit. */
static const double slack_seconds = 30;

static int wait_for_all(struct program *program, const json_t *answer, double seconds) {
    json_t *plans = json_array(), *made;
    size_t at, ready = 0;
    int code = EXIT_DONE;
    json_array_foreach(json_object_get(answer, "plans"), at, made) {
        json_t *plan = NULL;
        code = plan_wait(program, json_integer_value(json_object_get(made, "plan")),
                         (seconds * (double)(at + 1)) + slack_seconds, &plan);
        if (code != EXIT_DONE)
            break;
        ready += json_array_size(json_object_get(plan, "bars")) > 0;
        if (!program->settings.json) {
            if (at > 0)
                putc('\n', program->screen.file);
            plan_view(&program->screen, plan);
        }
        json_array_append_new(plans, plan);
    }
    if (code == EXIT_DONE && !program_json(program, plans) && at == 0)
        fputs("No piece is waiting to be cut.\n", program->screen.file);
    json_decref(plans);
    return code == EXIT_DONE && ready < at ? EXIT_REFUSED : code;
}

static int run(struct program *program) {
    static const struct column columns[] = {{"plan", "plan", COLUMN_NUMBER},
                                            {"system", "system", COLUMN_TEXT},
                                            {"finish", "finish", COLUMN_TEXT},
                                            {"pieces waiting", "pieces", COLUMN_NUMBER}};
    const char *saw = program_option(program, "saw");
    int64_t seconds;
    if (saw == NULL)
        return program_wrong(program, EXIT_USAGE, "saw", "Say which saw cuts, with --saw.");
    if (!program_number(program, "time-limit", 1, 600, 10, &seconds))
        return EXIT_USAGE;
    json_t *body = json_pack("{s:s, s:s*, s:s*, s:s*, s:I}", "saw", saw, "system",
                             program_option(program, "system"), "finish", program_option(program, "finish"),
                             "due", program_option(program, "due"), "time_limit", (json_int_t)seconds);
    if (program_switch(program, "no-wait"))
        return program_list(program, "plan.make", body, "plans", columns, sizeof columns / sizeof columns[0],
                            "No piece is waiting to be cut.");
    json_t *answer = NULL;
    int code = program_call(program, "plan.make", body, &answer);
    if (code == EXIT_DONE)
        code = wait_for_all(program, answer, (double)seconds);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {
    {"saw", "SAW", "The saw that is to cut"},
    {"system", "SYSTEM", "Only pieces of this track system"},
    {"finish", "FINISH", "Only pieces in this finish"},
    {"due", "DATE", "Only pieces of orders due by this day"},
    {"time-limit", "SECONDS", "At most so long for each plan [10]"},
    {"no-wait", NULL, "Only ask for them; do not wait until they are ready"},
    {0}};

const struct command command_plan_make = {
    .name = "plan make",
    .group = GROUP_SAW,
    .summary = "Plan the cutting of all waiting pieces",
    .more = "There is one plan for each system and finish. It is shown when it is ready, its bars drawn to "
            "scale; release it "
            "with: ellwand plan release NUMBER",
    .options = options,
    .run = run,
};
