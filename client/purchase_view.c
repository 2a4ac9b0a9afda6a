/* SPDX-License-Identifier: Apache-2.0 */
#include "purchase_view.h"

#include <stdlib.h>

bool purchase_number(const struct program *program, int64_t *number) {
    const char *text = program->arguments[0];
    char *rest = NULL;
    long long read = strtoll(text, &rest, 10);
    if (rest == text || *rest != '\0' || read < 1) {
        program_wrong(program, EXIT_USAGE, text,
                      "This is no number of a purchase; see them with: ellwand purchase list");
        return false;
    }
    *number = read;
    return true;
}

void purchase_view(const struct screen *screen, const json_t *purchase) {
    static const struct column fields[] = {{"purchase", "purchase", COLUMN_NUMBER},
                                           {"supplier", "supplier", COLUMN_TEXT},
                                           {"is", "state", COLUMN_TEXT},
                                           {"made", "made_at", COLUMN_TIME},
                                           {"ordered", "ordered_at", COLUMN_TIME},
                                           {"expected", "expected", COLUMN_TEXT},
                                           {"late", "late", COLUMN_YES},
                                           {"cost", "cost", COLUMN_MONEY},
                                           {"lines without price", "unpriced", COLUMN_NUMBER}};
    static const struct column lines[] = {
        {"line", "line", COLUMN_NUMBER},     {"part or bar", "code", COLUMN_TEXT},
        {"name", "name", COLUMN_TEXT},       {"quantity", "quantity", COLUMN_LENGTH},
        {"came", "received", COLUMN_LENGTH}, {"to come", "open", COLUMN_LENGTH},
        {"price", "price", COLUMN_MONEY},    {"cost", "cost", COLUMN_MONEY}};
    static const struct column history[] = {{"at", "at", COLUMN_TIME},
                                            {"is", "to", COLUMN_TEXT},
                                            {"by", "key", COLUMN_TEXT},
                                            {"because", "reason", COLUMN_TEXT}};
    fields_print(screen, fields, sizeof fields / sizeof fields[0], purchase);
    screen_heading(screen, "Lines");
    table_print(screen, lines, sizeof lines / sizeof lines[0], json_object_get(purchase, "lines"),
                "No lines.");
    screen_heading(screen, "History");
    table_print(screen, history, sizeof history / sizeof history[0], json_object_get(purchase, "history"),
                "None.");
}

int purchase_call(struct program *program, const char *verb, json_t *body) {
    json_t *answer = NULL;
    int code = body == NULL ? EXIT_USAGE : program_call(program, verb, body, &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        purchase_view(&program->screen, answer);
    json_decref(answer);
    return code;
}
