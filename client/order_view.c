/* SPDX-License-Identifier: Apache-2.0 */
#include "order_view.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

void advice_view(const struct screen *screen, const char *window, const json_t *advice, bool notes) {
    size_t at;
    json_t *item;
    json_array_foreach((json_t *)advice, at, item) {
        const char *severity = json_string_value(json_object_get(item, "severity"));
        const char *message = json_string_value(json_object_get(item, "message"));
        const char *remedy = json_string_value(json_object_get(item, "remedy"));
        if (severity == NULL || message == NULL || (!notes && strcmp(severity, "note") == 0))
            continue;
        bool refusal = strcmp(severity, "refusal") == 0, caution = strcmp(severity, "caution") == 0;
        screen_text(screen, refusal ? PAINT_RED : caution ? PAINT_YELLOW : PAINT_PLAIN, severity);
        fprintf(screen->file, ", %s: ", window);
        screen_text(screen, PAINT_PLAIN, message);
        if (remedy != NULL && remedy[0] != '\0') {
            putc(' ', screen->file);
            screen_text(screen, PAINT_PLAIN, remedy);
        }
        putc('\n', screen->file);
    }
}

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
    putc('\n', screen->file);
    screen_text(screen, PAINT_BOLD, title);
    putc('\n', screen->file);
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
        {"part", "part", COLUMN_TEXT},     {"name", "name", COLUMN_TEXT}, {"wanted", "wanted", COLUMN_LENGTH},
        {"short", "short", COLUMN_LENGTH}, {"unit", "unit", COLUMN_TEXT},
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
    size_t at;
    json_t *window;
    json_array_foreach((json_t *)list, at, window)
        advice_view(screen, json_string_value(json_object_get(window, "window")),
                    json_object_get(window, "advice"), false);
}
