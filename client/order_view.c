/* SPDX-License-Identifier: Apache-2.0 */
#include "order_view.h"

#include "advice_view.h"

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
    json_t *gathered = json_array(), *window;
    size_t at;
    json_array_foreach((json_t *)list, at, window)
        advice_add(gathered, json_string_value(json_object_get(window, "window")),
                   json_object_get(window, "advice"), false);
    advice_print(screen, gathered);
    json_decref(gathered);
}
