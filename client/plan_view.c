/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_view.h"

#include "cutting/picture.h"

#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static const char *text_of(const json_t *object, const char *field) {
    const char *text = json_string_value(json_object_get(object, field));
    return text == NULL ? "" : text;
}

static json_t *copy(const json_t *object, const char *field) {
    return json_incref(json_object_get(object, field));
}

/* "A1001 W1", or "A1001 W1/2" for the second piece of a track in several. */
static json_t *piece_name(const json_t *piece) {
    char name[64];
    int of = (int)json_integer_value(json_object_get(piece, "of"));
    if (of > 1)
        snprintf(name, sizeof name, "%.30s %.24s/%d", text_of(piece, "order"), text_of(piece, "window"),
                 (int)json_integer_value(json_object_get(piece, "number")));
    else
        snprintf(name, sizeof name, "%.30s %.24s", text_of(piece, "order"), text_of(piece, "window"));
    return json_string(name);
}

/* The documents that the picture is drawn from: each bar of the plan becomes a line and a run of its own. */
struct drawing {
    json_t *problem, *plan;
};

static void add_piece(struct drawing *drawing, json_t *names, const json_t *piece) {
    json_t *name = piece_name(piece);
    json_array_append(names, name);
    json_array_append_new(json_object_get(drawing->problem, "pieces"),
                          json_pack("{s:o, s:o}", "name", name, "length", copy(piece, "length")));
}

static void add_bar(struct drawing *drawing, const json_t *bar) {
    json_t *names = json_array(), *piece;
    size_t at;
    json_array_foreach(json_object_get(bar, "pieces"), at, piece) add_piece(drawing, names, piece);
    bool squared = json_number_value(json_object_get(bar, "lead_trim")) == 0;
    json_array_append_new(json_object_get(drawing->problem, "bars"),
                          json_pack("{s:s, s:o, s:i, s:b}", "name", text_of(bar, "code"), "length",
                                    copy(bar, "length"), "quantity", 1, "squared", (int)squared));
    json_array_append_new(json_object_get(drawing->plan, "bars"),
                          json_pack("{s:s, s:i, s:o, s:o, s:o, s:o, s:o, s:o}", "bar", text_of(bar, "code"),
                                    "count", 1, "pieces", names, "kerfs", copy(bar, "kerfs"), "lead_trim",
                                    copy(bar, "lead_trim"), "dust", copy(bar, "dust"), "remainder",
                                    copy(bar, "remainder"), "returns", copy(bar, "returns")));
}

static void draw(const struct screen *screen, const struct drawing *drawing, bool bars_only) {
    struct picture_style style = {.columns = screen->width > 0 ? screen->width : 100,
                                  .colour = screen->colour,
                                  .money = true,
                                  .ascii = !screen->unicode,
                                  .bars_only = bars_only};
    size_t size = cutting_picture(drawing->problem, drawing->plan, &style, NULL, 0) + 1;
    char *text = malloc(size);
    if (text != NULL && cutting_picture(drawing->problem, drawing->plan, &style, text, size) > 0)
        fputs(text, screen->file);
    free(text);
}

static struct drawing open_drawing(const json_t *plan) {
    return (struct drawing){json_pack("{s:o, s:[], s:[]}", "kerf", copy(plan, "kerf"), "bars", "pieces"),
                            json_pack("{s:[], s:o*, s:o*, s:o*}", "bars", "cost", copy(plan, "cost"), "bound",
                                      copy(plan, "bound"), "proven", copy(plan, "proven"))};
}

static void close_drawing(struct drawing *drawing) {
    json_decref(drawing->problem);
    json_decref(drawing->plan);
}

static void view_bars(const struct screen *screen, const json_t *plan) {
    struct drawing drawing = open_drawing(plan);
    json_t *bar;
    size_t at;
    json_array_foreach(json_object_get(plan, "bars"), at, bar) add_bar(&drawing, bar);
    if (at > 0) {
        putc('\n', screen->file);
        draw(screen, &drawing, false);
    }
    close_drawing(&drawing);
}

void plan_view_bar(const struct screen *screen, const json_t *plan, const json_t *bar) {
    struct drawing drawing = open_drawing(plan);
    add_bar(&drawing, bar);
    draw(screen, &drawing, true);
    close_drawing(&drawing);
}

static void view_list(const struct screen *screen, const json_t *plan) {
    static const struct column columns[] = {
        {"bar", "code", COLUMN_TEXT},           {"place", "place", COLUMN_TEXT},
        {"batch", "batch", COLUMN_TEXT},        {"length", "length", COLUMN_LENGTH},
        {"pieces", "pieces", COLUMN_COUNT},     {"left", "remainder", COLUMN_LENGTH},
        {"to the rack", "returns", COLUMN_YES}, {"is", "state", COLUMN_TEXT},
        {"offcut", "offcut", COLUMN_TEXT}};
    putc('\n', screen->file);
    table_print(screen, columns, COUNT(columns), json_object_get(plan, "bars"), "The plan uses no bar.");
}

/* Two batches of one finish may look different side by side. */
static void view_batches(const struct screen *screen, const json_t *plan) {
    json_t *bar, *piece;
    size_t at, inner;
    json_array_foreach(json_object_get(plan, "bars"), at, bar) {
        json_array_foreach(json_object_get(bar, "pieces"), inner, piece) {
            const char *partner = json_string_value(json_object_get(piece, "partner_batch"));
            if (partner == NULL)
                continue;
            screen_text(screen, PAINT_YELLOW, "caution");
            fputs(", ", screen->file);
            screen_text(screen, PAINT_PLAIN, text_of(piece, "order"));
            putc(' ', screen->file);
            screen_text(screen, PAINT_PLAIN, text_of(piece, "window"));
            fputs(": ", screen->file);
            screen_text(screen, PAINT_PLAIN, text_of(piece, "code"));
            fputs(" comes from another finish batch than its partner, which is of batch ", screen->file);
            screen_text(screen, PAINT_PLAIN, partner);
            fputs(". Compare the two before they are packed.\n", screen->file);
        }
    }
}

/* Only what is joined otherwise than the order's papers said so far. */
static void view_joins(const struct screen *screen, const json_t *plan) {
    json_t *join, *length;
    size_t at, inner;
    json_array_foreach(json_object_get(plan, "joins"), at, join) {
        if (!json_is_true(json_object_get(join, "moved")))
            continue;
        screen_text(screen, PAINT_PLAIN, text_of(join, "order"));
        putc(' ', screen->file);
        screen_text(screen, PAINT_PLAIN, text_of(join, "window"));
        fputs(" is joined at another bracket, which cuts better: ", screen->file);
        json_array_foreach(json_object_get(join, "lengths"), inner, length)
            fprintf(screen->file, "%s%.10g", inner > 0 ? " + " : "", json_number_value(length));
        fputs(" mm. Its fitting sheet follows.\n", screen->file);
    }
}

static void view_left_out(const struct screen *screen, const json_t *plan) {
    static const struct column unmet[] = {{"piece", "code", COLUMN_TEXT},
                                          {"order", "order", COLUMN_TEXT},
                                          {"window", "window", COLUMN_TEXT},
                                          {"length", "length", COLUMN_LENGTH},
                                          {"because", "why", COLUMN_TEXT}};
    static const struct column buy[] = {{"get bars", "bar", COLUMN_TEXT}, {"count", "count", COLUMN_NUMBER}};
    if (json_array_size(json_object_get(plan, "unmet")) > 0) {
        screen_heading(screen, "Left out");
        table_print(screen, unmet, COUNT(unmet), json_object_get(plan, "unmet"), "");
    }
    if (json_array_size(json_object_get(plan, "buy")) > 0) {
        putc('\n', screen->file);
        table_print(screen, buy, COUNT(buy), json_object_get(plan, "buy"), "");
    }
}

void plan_view(const struct screen *screen, const json_t *plan) {
    static const struct column head[] = {
        {"plan", "plan", COLUMN_NUMBER},        {"is", "state", COLUMN_TEXT},
        {"because", "failure", COLUMN_TEXT},    {"system", "system_name", COLUMN_TEXT},
        {"finish", "finish_name", COLUMN_TEXT}, {"saw", "saw", COLUMN_TEXT},
        {"kerf", "kerf", COLUMN_LENGTH}};
    fields_print(screen, head, COUNT(head), plan);
    if (json_array_size(json_object_get(plan, "bars")) > 0) {
        view_bars(screen, plan);
        view_list(screen, plan);
        view_batches(screen, plan);
        view_joins(screen, plan);
    }
    view_left_out(screen, plan);
}

void labels_view(const struct screen *screen, const json_t *answer) {
    json_t *entry;
    size_t at;
    json_array_foreach(json_object_get(answer, "labels"), at, entry) {
        const char *why = json_string_value(json_object_get(entry, "why"));
        if (why != NULL)
            fprintf(screen->file, "Not printed, %s: %s\n", text_of(entry, "kind"), why);
        else
            fprintf(screen->file, "To be printed at %s: %s %lld\n", text_of(entry, "station"),
                    text_of(entry, "kind"), (long long)json_integer_value(json_object_get(entry, "labels")));
    }
}
