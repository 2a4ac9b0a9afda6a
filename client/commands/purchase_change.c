/* SPDX-License-Identifier: Apache-2.0 */
#include "purchase_view.h"
#include "stores_view.h"

#include <stdlib.h>
#include <string.h>

enum { TEXT_MOST = 120 };

/* "LINE=VALUE" in two; false after saying what is wanted. */
static bool split(const struct program *program, const char *given, int64_t *line, const char **value) {
    char *rest = NULL;
    long long number = strtoll(given, &rest, 10);
    if (rest == given || *rest != '=' || number < 1) {
        program_wrong(program, EXIT_USAGE, given,
                      "LINE=VALUE is wanted; ellwand purchase show lists the lines.");
        return false;
    }
    *line = number;
    *value = rest + 1;
    return true;
}

/* The line's object in `lines`, made when it is new. Borrowed. */
static json_t *line_in(json_t *lines, int64_t line) {
    size_t index;
    json_t *known;
    json_array_foreach(lines, index, known) {
        if (json_integer_value(json_object_get(known, "line")) == line)
            return known;
    }
    json_array_append_new(lines, json_pack("{s:I}", "line", (json_int_t)line));
    return json_array_get(lines, json_array_size(lines) - 1);
}

static bool read_values(const struct program *program, const char *option, json_t *lines) {
    const char *given;
    for (int i = 0; (given = program_option_at(program, option, i)) != NULL; i++) {
        int64_t line;
        const char *value;
        if (!split(program, given, &line, &value))
            return false;
        json_t *number = quantity_read(program, value);
        if (number == NULL)
            return false;
        json_object_set_new(line_in(lines, line), option, number);
    }
    return true;
}

static bool read_dropped(const struct program *program, json_t *drop) {
    const char *given;
    for (int i = 0; (given = program_option_at(program, "drop", i)) != NULL; i++) {
        char *rest = NULL;
        long long line = strtoll(given, &rest, 10);
        if (rest == given || *rest != '\0' || line < 1) {
            program_wrong(program, EXIT_USAGE, given, "This is no line's number.");
            return false;
        }
        json_array_append_new(drop, json_integer(line));
    }
    return true;
}

/* "PART=QUANTITY", or "SYSTEM FINISH LENGTH=QUANTITY" for bars. */
static json_t *new_line(const struct program *program, const char *given) {
    char words[TEXT_MOST], system[TEXT_MOST], finish[TEXT_MOST], length[TEXT_MOST];
    const char *equals = strrchr(given, '=');
    if (equals == NULL || equals == given || equals - given >= TEXT_MOST) {
        program_wrong(program, EXIT_USAGE, given,
                      "PART=QUANTITY or \"SYSTEM FINISH LENGTH=QUANTITY\" is wanted.");
        return NULL;
    }
    memcpy(words, given, (size_t)(equals - given));
    words[equals - given] = '\0';
    json_t *quantity = quantity_read(program, equals + 1);
    if (quantity == NULL)
        return NULL;
    if (sscanf(words, "%119s %119s %119[^\n]", system, finish, length) == 3)
        return json_pack("{s:s, s:s, s:s, s:o}", "system", system, "finish", finish, "length", length,
                         "quantity", quantity);
    return json_pack("{s:s, s:o}", "part", words, "quantity", quantity);
}

static bool read_added(const struct program *program, json_t *add) {
    const char *given;
    for (int i = 0; (given = program_option_at(program, "add", i)) != NULL; i++) {
        json_t *line = new_line(program, given);
        if (line == NULL || json_array_append_new(add, line) != 0)
            return false;
    }
    return true;
}

static int run(struct program *program) {
    int64_t number;
    if (!purchase_number(program, &number))
        return EXIT_USAGE;
    json_t *lines = json_array(), *drop = json_array(), *add = json_array(), *body = NULL;
    if (read_values(program, "quantity", lines) && read_values(program, "price", lines) &&
        read_dropped(program, drop) && read_added(program, add))
        body = json_pack("{s:I, s:s*, s:s*, s:O, s:O, s:O}", "purchase", (json_int_t)number, "supplier",
                         program_option(program, "supplier"), "reason", program_option(program, "reason"),
                         "lines", lines, "drop", drop, "add", add);
    json_decref(add);
    json_decref(drop);
    json_decref(lines);
    return purchase_call(program, "purchase.change", body);
}

static const struct command_option options[] = {
    {"supplier", "CODE", "Who supplies it"},
    {"quantity", "LINE=QUANTITY", "Buy so much on that line (may be given several times)"},
    {"price", "LINE=PRICE", "What one costs, or a metre, in minor units of money (several times)"},
    {"drop", "LINE", "Take the line off (several times)"},
    {"add", "PART=QUANTITY", "One more line; for bars \"SYSTEM FINISH LENGTH=QUANTITY\" (several times)"},
    {"reason", "TEXT", "Why; it stays in the history"},
    {0}};

const struct command command_purchase_change = {
    .name = "purchase change",
    .group = GROUP_MANAGER,
    .arguments = "PURCHASE",
    .least = 1,
    .most = 1,
    .summary = "Change a proposal: its supplier, quantities, prices and lines",
    .options = options,
    .run = run,
};
