/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <stdlib.h>

/* Each line as the sentences that explain it. */
static int explain(struct program *program, json_t *body) {
    json_t *answer = NULL;
    int code = program_pages(program, "reorder.list", body, "lines", &answer);
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
    json_decref(body);
    return code;
}

/* One share for all, or three for the classes A, B and C. */
static bool take_service(const struct program *program, json_t *body) {
    static const char *const classes[] = {"A", "B", "C"};
    const char *text = program_option(program, "service"), *at = text;
    json_t *shares = json_object();
    double share = 0;
    size_t count = 0;
    char *rest = NULL;
    while (at != NULL && count < 3) {
        share = strtod(at, &rest);
        if (rest == at)
            break;
        json_object_set_new(shares, classes[count++], json_real(share));
        at = *rest == ',' ? rest + 1 : NULL;
    }
    bool good = text == NULL || ((count == 1 || count == 3) && at == NULL && *rest == '\0');
    if (text != NULL && good)
        json_object_set_new(body, "service", count == 1 ? json_real(share) : json_incref(shares));
    json_decref(shares);
    if (!good)
        program_wrong(
            program, EXIT_USAGE, "--service",
            "A share from 0.5 to 0.9999 is wanted, or three of them for A, B and C: 0.98,0.95,0.9.");
    return good;
}

static int run(struct program *program) {
    static const struct column columns[] = {{"part or bar", "code", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT},
                                            {"supplier", "supplier", COLUMN_TEXT | COLUMN_MINOR},
                                            {"class", "class", COLUMN_TEXT | COLUMN_MINOR},
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
                                            {"below safety", "below_safety", COLUMN_TEXT | COLUMN_MINOR},
                                            {"runs out", "runs_out", COLUMN_TEXT},
                                            {"buy", "buy", COLUMN_LENGTH}};
    bool all = program_switch(program, "all");
    json_t *body = json_pack("{s:b, s:s*}", "due_only", !all, "part", program_option(program, "part"));
    if (!take_service(program, body)) {
        json_decref(body);
        return EXIT_USAGE;
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
    {"service", "SHARE",
     "Wanted chance of no shortage in a lead time, or three for the classes A,B,C [the catalogue's]"},
    {0}};

const struct command command_reorder = {
    .name = "reorder",
    .group = GROUP_MANAGER,
    .summary = "What to buy now, with the demand and the reorder point it comes from",
    .more =
        "Demand is what orders called for in the week in which they were taken, whatever was picked in its "
        "place or had to wait; for bars, what was opened at the saw. \"By\" says which law "
        "the reorder point was taken from: normal, poisson, empirical (what the weeks of the history show), "
        "or none. \"Guess\" marks a history of less than four weeks. Class A is what makes up 80 % of the "
        "value asked for in a "
        "year, B up to 95 %, C the rest. \"Below safety\" and \"runs out\" are the weeks in which that "
        "comes, as open orders, "
        "purchases and the forecast stand; ellwand report projection shows them one by one. With --why each "
        "line is told in words with all its figures.",
    .options = options,
    .run = run,
};
