/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "csv_print.h"
#include "reports.h"

#include <string.h>

/* The options that narrow a report go to the daemon under their own names; one that the report does not know is refused there. */
static bool take_options(const struct program *program, json_t *body) {
    static const char *const texts[] = {"system", "finish", "saw", "by", "part", "length", "after", NULL};
    static const struct {
        const char *option, *field;
        int64_t least, most;
    } numbers[] = {{"weeks", "weeks", 1, 520}, {"ahead", "ahead", 0, 365}, {"limit", "limit", 1, 1000}};
    for (int i = 0; texts[i] != NULL; i++)
        if (program_option(program, texts[i]) != NULL)
            json_object_set_new(body, texts[i], json_string(program_option(program, texts[i])));
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        int64_t number;
        if (!program_number(program, numbers[i].option, numbers[i].least, numbers[i].most, -1, &number))
            return false;
        if (program_option(program, numbers[i].option) != NULL)
            json_object_set_new(body, numbers[i].field, json_integer(number));
    }
    if (program_switch(program, "by-batch"))
        json_object_set_new(body, "by_batch", json_true());
    return true;
}

/* What a report says in words, above its table. */
static void show_why(const struct program *program, const json_t *result) {
    const char *why = json_string_value(json_object_get(result, "why"));
    if (why == NULL)
        return;
    screen_paragraph(&program->screen, 0, why);
    putc('\n', program->screen.file);
}

static void show(const struct program *program, const struct report *report, const json_t *result) {
    const json_t *rows = json_object_get(result, "rows");
    show_why(program, result);
    table_print(&program->screen, report->columns, report->column_count, rows, report->nothing);
    if (report->total_count == 0 || json_array_size(rows) == 0)
        return;
    putc('\n', program->screen.file);
    fields_print(&program->screen, report->totals, report->total_count, json_object_get(result, "totals"));
}

static int draw(struct program *program, const struct report *report, const json_t *result,
                const char *path) {
    struct fault fault;
    if (report->draw == NULL)
        return program_wrong(program, EXIT_USAGE, "--plot",
                             "A picture would say no more than the table of \"%s\".", report->name);
    if (!report->draw(result, path, &fault))
        return program_fault(program, &fault);
    fprintf(program->notices.file, "%s\n", path);
    return EXIT_DONE;
}

/* Where all rows are of one thing, its unit stands beside them; a row tells its own to the table. */
static void tell_unit(const json_t *result) {
    json_t *unit = json_object_get(result, "unit"), *row;
    size_t index;
    json_array_foreach(json_object_get(result, "rows"), index, row) {
        if (unit != NULL)
            json_object_set(row, "unit", unit);
    }
}

static int put_out(struct program *program, const struct report *report, const json_t *result) {
    const char *path = program_option(program, "plot");
    if (path != NULL)
        return draw(program, report, result, path);
    if (program_switch(program, "csv"))
        csv_print(program->screen.file, report->columns, report->column_count,
                  json_object_get(result, "rows"));
    else if (!program_json(program, result)) {
        tell_unit(result);
        show(program, report, result);
    }
    return EXIT_DONE;
}

static int run(struct program *program) {
    const struct report *report = report_named(program->arguments[0]);
    json_t *body = json_object(), *result = NULL;
    if (report == NULL) {
        json_decref(body);
        program_wrong(program, EXIT_USAGE, program->arguments[0], "There is no such report. There are:");
        for (report = reports; report->name != NULL; report++)
            fprintf(program->notices.file, "  %-12s %s\n", report->name, report->summary);
        return EXIT_USAGE;
    }
    int code = take_options(program, body) ? program_pages(program, report->verb, body, "rows", &result)
                                           : EXIT_USAGE;
    if (code == EXIT_DONE)
        code = put_out(program, report, result);
    json_decref(result);
    json_decref(body);
    return code;
}

static const struct command_option options[] = {
    {"csv", NULL, "As CSV: lengths in mm, money in whole units with two decimals"},
    {"plot", "FILE", "As a picture: .svg, .png or .pdf"},
    {"weeks", "NUMBER",
     "yield, use: of the last so many weeks [13]; dead: unused for so many [26]; projection: so many to come "
     "[26]"},
    {"by", "WHAT", "yield: by system, finish, saw or week [week]"},
    {"part", "PART", "projection: of this part; or name bars by --system, --finish and --length"},
    {"length", "LENGTH", "projection: of bars of this length"},
    {"system", "SYSTEM", "rack, yield, metres: only of this track system"},
    {"finish", "FINISH", "rack, yield, metres: only in this finish"},
    {"saw", "SAW", "yield: only of this saw"},
    {"by-batch", NULL, "rack: also by finish batch"},
    {"ahead", "DAYS", "late: also what is due within so many days [0]"},
    {"after", "KEY", "Go on after this row (\"next\" in the JSON)"},
    {"limit", "NUMBER", "At most so many rows [all]"},
    {0}};

const struct command command_report = {
    .name = "report",
    .group = GROUP_MANAGER,
    .arguments = "NAME",
    .least = 1,
    .most = 1,
    .summary = "A report as a table, CSV, JSON or a picture: stock, rack, yield, ...",
    .more = "NAME is one of\n"
            "  stock      what is in stock and its value (picture: value by group)\n"
            "  rack       bars and offcuts: count, length, value, age (picture: how long offcuts lie)\n"
            "  yield      what the saw made of its bars (picture: what was lost, by week)\n"
            "  metres     where every metre of track came from and went\n"
            "  shortages  what open orders lack, and what that holds up\n"
            "  late       orders that are late, and what each waits for\n"
            "  dead       parts in stock that nobody used for long\n"
            "  use        what was used against what the take-off said\n"
            "  projection the stock of --part over the weeks to come, with open purchases, orders and the "
            "forecast\n"
            "yield: share of the track used up that became good pieces. Weeks begin on Monday, in UTC.",
    .options = options,
    .run = run,
};
