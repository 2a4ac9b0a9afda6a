/* SPDX-License-Identifier: Apache-2.0 */
#include "advice_view.h"

#include <string.h>

/* Names that are printed before "and so many more". */
enum { NAMES_SHOWN = 6 };

static const char *text_of(const json_t *item, const char *field) {
    const char *text = json_string_value(json_object_get(item, field));
    return text != NULL ? text : "";
}

static bool says_the_same(const json_t *one, const json_t *other) {
    static const char *const fields[] = {"severity", "message", "remedy"};
    bool same = true;
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++)
        same = same && strcmp(text_of(one, fields[i]), text_of(other, fields[i])) == 0;
    return same;
}

static json_t *find_same(const json_t *gathered, const json_t *item) {
    size_t at;
    json_t *known;
    json_array_foreach((json_t *)gathered, at, known) if (says_the_same(known, item)) return known;
    return NULL;
}

void advice_add(json_t *gathered, const char *window, const json_t *advice, bool notes) {
    size_t at;
    json_t *item;
    json_array_foreach((json_t *)advice, at, item) {
        if (!notes && strcmp(text_of(item, "severity"), "note") == 0)
            continue;
        json_t *known = find_same(gathered, item);
        if (known == NULL) {
            known = json_pack("{s:s, s:s, s:s, s:[]}", "severity", text_of(item, "severity"), "message",
                              text_of(item, "message"), "remedy", text_of(item, "remedy"), "windows");
            json_array_append_new(gathered, known);
        }
        json_array_append_new(json_object_get(known, "windows"), json_string(window));
    }
}

static void print_names(const struct screen *screen, const json_t *names) {
    size_t count = json_array_size(names);
    for (size_t i = 0; i < count && i < NAMES_SHOWN; i++) {
        fputs(i > 0 ? ", " : " (", screen->file);
        screen_text(screen, PAINT_PLAIN, json_string_value(json_array_get(names, i)));
    }
    if (count > NAMES_SHOWN)
        fprintf(screen->file, " and %zu more", count - NAMES_SHOWN);
    if (count > 0)
        putc(')', screen->file);
    putc('\n', screen->file);
}

static void print_item(const struct screen *screen, enum paint paint, const json_t *item) {
    char text[1024];
    const char *remedy = text_of(item, "remedy");
    screen_text(screen, paint, text_of(item, "severity"));
    print_names(screen, json_object_get(item, "windows"));
    snprintf(text, sizeof text, "%s%s%s", text_of(item, "message"), remedy[0] != '\0' ? " " : "", remedy);
    screen_paragraph(screen, 4, text);
}

void advice_print(const struct screen *screen, const json_t *gathered) {
    static const struct {
        const char *severity;
        enum paint paint;
    } order[] = {{"refusal", PAINT_RED}, {"caution", PAINT_YELLOW}, {"note", PAINT_PLAIN}};
    if (json_array_size(gathered) > 0)
        screen_heading(screen, "To mind");
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        size_t at;
        json_t *item;
        json_array_foreach((json_t *)gathered, at,
                           item) if (strcmp(text_of(item, "severity"), order[i].severity) == 0)
            print_item(screen, order[i].paint, item);
    }
}
