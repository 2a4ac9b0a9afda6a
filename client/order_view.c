/* SPDX-License-Identifier: Apache-2.0 */
#include "order_view.h"

#include "advice_view.h"

#include <stdio.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* The items of all windows' lists `field` as one list, each with its window's name. NULL when memory runs
 * out. */
static json_t *gather(const json_t *windows, const char *field) {
    json_t *all = json_array(), *window, *item;
    size_t at, inner;
    json_array_foreach((json_t *)windows, at, window) {
        json_array_foreach(json_object_get(window, field), inner, item) {
            json_t *row = json_copy(item);
            if (row == NULL || json_object_set(row, "window", json_object_get(window, "window")) != 0 ||
                json_array_append_new(all, row) != 0) {
                json_decref(all);
                return NULL;
            }
        }
    }
    return all;
}

static void section(const struct screen *screen, const char *title, const struct column columns[],
                    size_t count, const json_t *rows) {
    if (json_array_size(rows) == 0)
        return;
    screen_heading(screen, title);
    table_print(screen, columns, count, rows, "");
}

static void put_item(FILE *file, const json_t *item) {
    if (json_is_integer(item))
        fprintf(file, "%" JSON_INTEGER_FORMAT, json_integer_value(item));
    else
        fprintf(file, "%s", json_string_value(item)[0] ? json_string_value(item) : "nothing");
}

char *order_change_text(const json_t *what, char text[ORDER_CHANGE_TEXT]) {
    static const struct {
        const char *field, *words, *between;
    } parts[] = {{"due", "due", " -> "},           {"priority", "priority", " -> "},
                 {"customer", "customer", " -> "}, {"notes", "notes", " -> "},
                 {"unit", "labels in", " -> "},    {"replaced", "measured anew:", ", "},
                 {"added", "added:", ", "},        {"dropped", "dropped:", ", "}};
    FILE *file = fmemopen(text, ORDER_CHANGE_TEXT, "w");
    const char *before = "";
    text[0] = '\0';
    for (size_t i = 0; file != NULL && i < COUNT(parts); i++) {
        size_t at;
        json_t *item;
        json_array_foreach(json_object_get(what, parts[i].field), at, item) {
            if (at == 0)
                fprintf(file, "%s%s ", before, parts[i].words);
            fputs(at > 0 ? parts[i].between : "", file);
            put_item(file, item);
            before = "; ";
        }
    }
    if (file != NULL)
        fclose(file);
    text[ORDER_CHANGE_TEXT - 1] = '\0';
    return text;
}

static void view_changes(const struct screen *screen, const json_t *changes) {
    static const struct column columns[] = {{"when", "at", COLUMN_TIME},
                                            {"by", "key", COLUMN_TEXT},
                                            {"what", "text", COLUMN_TEXT},
                                            {"reason", "reason", COLUMN_TEXT}};
    json_t *rows = json_array(), *change;
    size_t at;
    json_array_foreach((json_t *)changes, at, change) {
        char text[ORDER_CHANGE_TEXT];
        json_t *row = json_copy(change);
        json_object_set_new(row, "text",
                            json_string(order_change_text(json_object_get(change, "what"), text)));
        json_array_append_new(rows, row);
    }
    section(screen, "Changes", columns, COUNT(columns), rows);
    json_decref(rows);
}

void order_view(const struct screen *screen, const json_t *order) {
    static const struct column head[] = {
        {"order", "order", COLUMN_TEXT},
        {"customer", "customer", COLUMN_TEXT},
        {"due", "due", COLUMN_TEXT},
        {"state", "state", COLUMN_TEXT},
        {"priority", "priority", COLUMN_NUMBER},
        {"notes", "notes", COLUMN_TEXT},
        {"labels in", "unit", COLUMN_TEXT},
        {"code", "code", COLUMN_TEXT},
        {"taken", "taken_at", COLUMN_TIME},
        {"given up of", "earlier_of", COLUMN_TEXT},
    };
    static const struct column windows[] = {
        {"window", "window", COLUMN_TEXT},   {"room", "room", COLUMN_TEXT},
        {"system", "system", COLUMN_TEXT},   {"finish", "finish", COLUMN_TEXT},
        {"track", "overall", COLUMN_LENGTH}, {"corded", "corded", COLUMN_YES},
        {"kit", "kit", COLUMN_TEXT},         {"kit is", "kit_state", COLUMN_TEXT},
    };
    static const struct column pieces[] = {
        {"window", "window", COLUMN_TEXT},   {"piece", "code", COLUMN_TEXT}, {"side", "side", COLUMN_TEXT},
        {"length", "length", COLUMN_LENGTH}, {"is", "state", COLUMN_TEXT},   {"plan", "plan", COLUMN_NUMBER},
        {"batch", "batch", COLUMN_TEXT},
    };
    static const struct column shortage[] = {
        {"part", "part", COLUMN_TEXT},
        {"name", "name", COLUMN_TEXT},
        {"wanted", "wanted", COLUMN_LENGTH},
        {"short", "short", COLUMN_LENGTH},
    };
    static const struct column history[] = {
        {"when", "at", COLUMN_TIME},
        {"became", "to", COLUMN_TEXT},
        {"by", "key", COLUMN_TEXT},
        {"reason", "reason", COLUMN_TEXT},
    };
    const json_t *list = json_object_get(order, "windows");
    fields_print(screen, head, COUNT(head), order);
    section(screen, "Windows", windows, COUNT(windows), list);
    json_t *all = gather(list, "pieces");
    section(screen, "Pieces", pieces, COUNT(pieces), all);
    json_decref(all);
    section(screen, "Short", shortage, COUNT(shortage), json_object_get(order, "short"));
    section(screen, "History", history, COUNT(history), json_object_get(order, "history"));
    view_changes(screen, json_object_get(order, "changes"));
    json_t *gathered = json_array(), *window;
    size_t at;
    json_array_foreach((json_t *)list, at, window)
        advice_add(gathered, json_string_value(json_object_get(window, "window")),
                   json_object_get(window, "advice"), false);
    advice_print(screen, gathered);
    json_decref(gathered);
}
