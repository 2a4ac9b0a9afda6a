/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "new_file.h"
#include "survey_questions.h"

#include "common/text.h"
#include "takeoff/order_file.h"

#include <errno.h>
#include <string.h>

static const char *kind_text(const struct survey_question *question) {
    switch (question->kind) {
    case SURVEY_TEXT:
        return "text";
    case SURVEY_DATE:
        return "date";
    case SURVEY_LENGTH:
        return "length";
    case SURVEY_LENGTHS:
        return "lengths";
    case SURVEY_NUMBER:
        return "number";
    case SURVEY_NUMBERS:
        return "numbers";
    case SURVEY_YES_NO:
        return "yes, no";
    case SURVEY_WORD:
        return "";
    default:
        return "code";
    }
}

/* The words of the document; the drop that is asked for has a field of its own. */
static void values_text(const struct survey_question *question, char text[128]) {
    text_copy(text, 128, kind_text(question));
    for (const struct survey_word *word = question->words;
         question->kind == SURVEY_WORD && word->word != NULL; word++) {
        size_t used = strlen(text);
        if (strcmp(question->field, "curtain.reach") != 0 || strcmp(word->word, "drop") != 0)
            snprintf(text + used, 128 - used, "%s%s", used > 0 ? ", " : "", word->word);
    }
}

static json_t *row_of(const struct survey_question *question) {
    static const char *const groups[] = {"order", "window", "near", ""};
    char values[128];
    values_text(question, values);
    bool notes = question->group == SURVEY_OF_WINDOW && strcmp(question->field, "notes") == 0;
    const char *column = question->group == SURVEY_OF_NEAR ? "" : notes ? "window.notes" : question->field;
    return json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:s, s:s}", "field", question->field, "of",
                     groups[question->group], "column", column, "values", values, "example",
                     question->example, "needed", question->needed, "asks", question->ask, "explanation",
                     question->why);
}

static json_t *rows_of_all(void) {
    json_t *rows = json_array();
    for (size_t i = 0; i < survey_question_count; i++)
        if (!survey_questions[i].own)
            json_array_append_new(rows, row_of(&survey_questions[i]));
    return rows;
}

static void print_rows(const struct screen *screen, const json_t *rows) {
    size_t at;
    json_t *row;
    const char *group = "";
    json_array_foreach((json_t *)rows, at, row) {
        char text[400];
        const char *of = json_string_value(json_object_get(row, "of"));
        if (strcmp(of, group) != 0)
            screen_heading(screen, strcmp(of, "order") == 0    ? "The order"
                                   : strcmp(of, "window") == 0 ? "Each window"
                                                               : "Each thing in the wall");
        group = of;
        const char *column = json_string_value(json_object_get(row, "column"));
        const char *field = json_string_value(json_object_get(row, "field"));
        snprintf(text, sizeof text, "%-27s", column[0] != '\0' ? column : field);
        screen_text(screen, PAINT_BOLD, text);
        snprintf(text, sizeof text, "%s; %s\n", json_string_value(json_object_get(row, "values")),
                 json_string_value(json_object_get(row, "needed")));
        screen_text(screen, PAINT_PLAIN, text);
        screen_paragraph(screen, 4, json_string_value(json_object_get(row, "explanation")));
    }
}

static void print_lengths(const struct screen *screen) {
    screen_heading(screen, "Lengths");
    screen_paragraph(
        screen, 0,
        "In JSON bare numbers are millimetres, whatever the order's unit; in CSV they are in the unit of "
        "their line. A unit of their own may stand with them in both: \"183 cm\", \"72 1/2 in\".");
}

static void print_all(const struct screen *screen, const json_t *rows) {
    print_rows(screen, rows);
    print_lengths(screen);
}

/* A header, and nothing below it. */
static int write_csv(const struct program *program, const char *path) {
    struct new_file new;
    if (!new_file_begin(path, &new))
        return program_wrong(program, EXIT_TROUBLE, path, "This file cannot be written: %s.",
                             strerror(errno));
    const char *name;
    for (size_t i = 0; (name = order_csv_column(i)) != NULL; i++)
        fprintf(new.file, "%s%s", i > 0 ? "," : "", name);
    fputs("\r\n", new.file);
    if (!new_file_keep(&new, path))
        return program_wrong(program, EXIT_TROUBLE, path, "This file cannot be written: %s.",
                             strerror(errno));
    return EXIT_DONE;
}

static int run(struct program *program) {
    const char *csv = program_option(program, "csv");
    if (csv != NULL)
        return write_csv(program, csv);
    json_t *rows = rows_of_all();
    if (!program_json(program, rows))
        print_all(&program->screen, rows);
    json_decref(rows);
    return EXIT_DONE;
}

static const struct command_option options[] = {
    {"csv", "FILE", "Write a CSV file with the header of all columns, to be filled in by a spreadsheet"},
    {0}};

const struct command command_survey_fields = {
    .name = "survey fields",
    .group = GROUP_DESK,
    .least = 0,
    .most = 0,
    .summary = "Every field of a survey: meaning, values, when needed",
    .more = "For those who write orders as JSON or CSV by hand. Names with a dot lie inside in JSON: "
            "curtain.drop is "
            "\"drop\" in \"curtain\"; in CSV they are columns as they stand, one line for each window.",
    .options = options,
    .run = run,
};
