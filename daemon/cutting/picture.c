/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/picture.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include <ellwand/length.h>

enum { CUTTING_PICTURE_ITEM = 200 };

struct canvas {
    char *text;
    size_t size, needed, kept; /* kept: bytes of whole lines that fit */
    const struct picture_style *style;
    int columns;
    double scale;          /* columns per millimetre */
    const json_t *lengths; /* of pieces by name */
};

static void put(struct canvas *canvas, const char *format, ...) PRINTF_LIKE(2, 3);

static void put(struct canvas *canvas, const char *format, ...) {
    char piece[600];
    va_list arguments;
    va_start(arguments, format);
    /* NOLINTNEXTLINE(clang-analyzer-valist.Uninitialized): va_start is the line above. */
    vsnprintf(piece, sizeof piece, format, arguments);
    va_end(arguments);
    size_t bytes = strlen(piece);
    if (canvas->needed + bytes < canvas->size)
        memcpy(canvas->text + canvas->needed, piece, bytes);
    canvas->needed += bytes;
}

static void end_line(struct canvas *canvas) {
    put(canvas, "\n");
    if (canvas->needed < canvas->size)
        canvas->kept = canvas->needed;
}

static void repeat(struct canvas *canvas, const char *mark, int times) {
    for (int i = 0; i < times; i++)
        put(canvas, "%s", mark);
}

/* What lines and hatching are made of. */
enum mark {
    TOP_LEFT,
    TOP_JOINT,
    TOP_RIGHT,
    BOTTOM_LEFT,
    BOTTOM_JOINT,
    BOTTOM_RIGHT,
    EDGE,
    SIDE,
    DOTTED_EDGE,
    DOTTED_SIDE,
    TRIM,
    SCRAP,
    TIMES
};

static const char *mark(const struct canvas *canvas, enum mark which) {
    static const char *const marks[][2] = {
        [TOP_LEFT] = {"┌", "+"},    [TOP_JOINT] = {"┬", "+"},    [TOP_RIGHT] = {"┐", "+"},
        [BOTTOM_LEFT] = {"└", "+"}, [BOTTOM_JOINT] = {"┴", "+"}, [BOTTOM_RIGHT] = {"┘", "+"},
        [EDGE] = {"─", "-"},        [SIDE] = {"│", "|"},         [DOTTED_EDGE] = {"┄", "."},
        [DOTTED_SIDE] = {"┊", ":"}, [TRIM] = {"░", ":"},         [SCRAP] = {"▒", "/"},
        [TIMES] = {"×", "x"}};
    return marks[which][canvas->style->ascii];
}

static void colour(struct canvas *canvas, const char *code) {
    if (canvas->style->colour)
        put(canvas, "\033[%sm", code);
}

static char *millimetres(double mm, char text[ELL_LENGTH_TEXT]) {
    return ell_length_text((ell_length)(mm * 10 + (mm < 0 ? -0.5 : 0.5)), text);
}

static int characters(const char *text) {
    int count = 0;
    for (; *text; text++)
        count += ((unsigned char)*text & 0xC0) != 0x80;
    return count;
}

/* Centres `text` in `room` columns; a text that is too long is left out, never cut into something else. */
static bool put_centred(struct canvas *canvas, const char *text, int room) {
    int used = characters(text);
    bool fits = used <= room;
    if (!fits) {
        text = "";
        used = 0;
    }
    repeat(canvas, " ", (room - used) / 2);
    put(canvas, "%s", text);
    repeat(canvas, " ", room - used - (room - used) / 2);
    return fits;
}

/* A stretch of the bar from one millimetre to another, in whole columns of the shared scale. */
struct stretch {
    int from, to;
};

static struct stretch span(const struct canvas *canvas, double from, double to) {
    return (struct stretch){(int)(from * canvas->scale + 0.5), (int)(to * canvas->scale + 0.5)};
}

static double piece_length(const struct canvas *canvas, const char *name) {
    return json_number_value(json_object_get(canvas->lengths, name));
}

/* Draws one row of the bar: its outline above and below, or what stands inside. */
enum row { TOP, NAMES, LENGTHS, BOTTOM };

static void draw_piece(struct canvas *canvas, enum row row, struct stretch where, const char *name,
                       double length, bool first) {
    char text[ELL_LENGTH_TEXT];
    int room = where.to - where.from - 1;
    static const enum mark corners[] = {TOP_LEFT, SIDE, SIDE, BOTTOM_LEFT},
                           joints[] = {TOP_JOINT, SIDE, SIDE, BOTTOM_JOINT};
    if (room < 0)
        return;
    put(canvas, "%s", mark(canvas, first ? corners[row] : joints[row]));
    if (row == TOP || row == BOTTOM)
        repeat(canvas, mark(canvas, EDGE), room);
    else
        put_centred(canvas, row == NAMES ? name : millimetres(length, text), room);
}

static void draw_rest(struct canvas *canvas, enum row row, struct stretch where, double length,
                      bool returns) {
    char text[ELL_LENGTH_TEXT];
    int room = where.to - where.from - 1;
    static const enum mark ends[] = {TOP_RIGHT, SIDE, SIDE, BOTTOM_RIGHT};
    put(canvas, "%s", mark(canvas, ends[row]));
    if (room <= 0 || length <= 0)
        return;
    colour(canvas, returns ? "32" : "2");
    if (!returns)
        repeat(canvas, mark(canvas, SCRAP), row == NAMES || row == LENGTHS ? room : 0);
    else if (row == TOP || row == BOTTOM)
        repeat(canvas, mark(canvas, DOTTED_EDGE), room);
    else
        put_centred(canvas, row == NAMES ? "rack" : millimetres(length, text), room);
    if (returns)
        put(canvas, "%s", mark(canvas, row == TOP ? TOP_RIGHT : row == BOTTOM ? BOTTOM_RIGHT : DOTTED_SIDE));
    colour(canvas, "0");
}

static void draw_row(struct canvas *canvas, const json_t *run, enum row row, double kerf) {
    const json_t *names = json_object_get(run, "pieces");
    double at = json_number_value(json_object_get(run, "lead_trim"));
    struct stretch trim = span(canvas, 0, at);
    put(canvas, "  ");
    repeat(canvas, row == NAMES || row == LENGTHS ? mark(canvas, TRIM) : " ", trim.to - trim.from);
    for (size_t i = 0; i < json_array_size(names); i++) {
        const char *name = json_string_value(json_array_get(names, i));
        double length = piece_length(canvas, name), last = i + 1 == json_array_size(names) ? 0 : kerf;
        draw_piece(canvas, row, span(canvas, at, at + length + last), name, length, i == 0);
        at += length + last;
    }
    double rest = json_number_value(json_object_get(run, "remainder"));
    draw_rest(canvas, row, span(canvas, at, at + rest), rest, json_is_true(json_object_get(run, "returns")));
    end_line(canvas);
}

/* Every piece stands in the line below the bar too, joined where equal, for those with no room inside. */
static void list_pieces(struct canvas *canvas, const json_t *names) {
    int used = 2;
    put(canvas, "  ");
    for (size_t i = 0; i < json_array_size(names);) {
        const char *name = json_string_value(json_array_get(names, i));
        size_t same = 1;
        char text[CUTTING_PICTURE_ITEM], length[ELL_LENGTH_TEXT];
        while (i + same < json_array_size(names) &&
               strcmp(name, json_string_value(json_array_get(names, i + same))) == 0)
            same++;
        millimetres(piece_length(canvas, name), length);
        if (same > 1)
            snprintf(text, sizeof text, "%s%zu %s %s %s", i ? ", " : "", same, mark(canvas, TIMES), name,
                     length);
        else
            snprintf(text, sizeof text, "%s%s %s", i ? ", " : "", name, length);
        if (used + characters(text) > canvas->columns && used > 2) {
            put(canvas, i ? "," : "");
            end_line(canvas);
            put(canvas, "  ");
            memmove(text, text + 2, strlen(text) - 1);
            used = 2;
        }
        put(canvas, "%s", text);
        used += characters(text);
        i += same;
    }
    end_line(canvas);
}

static void draw_run(struct canvas *canvas, const json_t *run, double bar_length, double kerf) {
    char length[ELL_LENGTH_TEXT], rest[ELL_LENGTH_TEXT];
    json_int_t count = json_integer_value(json_object_get(run, "count"));
    double remainder = json_number_value(json_object_get(run, "remainder"));
    bool returns = json_is_true(json_object_get(run, "returns"));
    millimetres(bar_length, length);
    millimetres(remainder, rest);
    colour(canvas, "1");
    if (count > 1)
        put(canvas, "%" JSON_INTEGER_FORMAT " %s ", count, mark(canvas, TIMES));
    put(canvas, "%s", json_string_value(json_object_get(run, "bar")));
    colour(canvas, "0");
    put(canvas, "  %s mm", length);
    if (remainder > 0)
        put(canvas, ", %s mm %s", rest, returns ? "back to the rack" : "scrap");
    end_line(canvas);
    for (enum row row = TOP; row <= BOTTOM; row++)
        draw_row(canvas, run, row, kerf);
    list_pieces(canvas, json_object_get(run, "pieces"));
    end_line(canvas);
}

struct totals {
    double bars, pieces, dust, trim, rack, scrap;
    json_int_t count;
};

static void add_up(struct canvas *canvas, const json_t *run, double bar_length, struct totals *totals) {
    double times = (double)json_integer_value(json_object_get(run, "count"));
    double remainder = json_number_value(json_object_get(run, "remainder"));
    const json_t *names = json_object_get(run, "pieces");
    for (size_t i = 0; i < json_array_size(names); i++)
        totals->pieces += times * piece_length(canvas, json_string_value(json_array_get(names, i)));
    totals->count += json_integer_value(json_object_get(run, "count"));
    totals->bars += times * bar_length;
    totals->dust += times * json_number_value(json_object_get(run, "dust"));
    totals->trim += times * json_number_value(json_object_get(run, "lead_trim"));
    if (json_is_true(json_object_get(run, "returns")))
        totals->rack += times * remainder;
    else
        totals->scrap += times * remainder;
}

/* Values are millimetres where a problem names none, and minor units of money where they are prices. */
static void say_cost(struct canvas *canvas, const json_t *plan) {
    int decimals = canvas->style->money ? 2 : 1;
    double unit = canvas->style->money ? 100 : 1;
    double cost = json_number_value(json_object_get(plan, "cost")) / unit;
    double bound = json_number_value(json_object_get(plan, "bound")) / unit;
    if (!json_is_true(json_object_get(plan, "proven")))
        put(canvas, "Cost %.*f; no plan costs less than %.*f.", decimals, cost, decimals, bound);
    else if (json_array_size(json_object_get(plan, "unmet")) > 0)
        put(canvas, "Cost %.*f: proven, no plan that cuts these pieces costs less.", decimals, cost);
    else
        put(canvas, "Cost %.*f: proven, no plan costs less.", decimals, cost);
}

static json_int_t figure(const json_t *effort, const char *what, const char *field) {
    return json_integer_value(json_object_get(json_object_get(effort, what), field));
}

/* "5 set-ups (first 7, at least 3)": what is known beside the figure stands only where it says more. */
static void say_figure(struct canvas *canvas, const json_t *effort, const char *what, const char *one,
                       const char *several) {
    json_int_t after = figure(effort, what, "after"), before = figure(effort, what, "before"),
               bound = figure(effort, what, "bound");
    put(canvas, "%" JSON_INTEGER_FORMAT " %s", after, after == 1 ? one : several);
    if (before > after && bound > 0 && bound < after)
        put(canvas, " (first %" JSON_INTEGER_FORMAT ", at least %" JSON_INTEGER_FORMAT ")", before, bound);
    else if (before > after)
        put(canvas, " (first %" JSON_INTEGER_FORMAT ")", before);
    else if (bound > 0 && bound < after)
        put(canvas, " (at least %" JSON_INTEGER_FORMAT ")", bound);
}

/* What the plan asks of people, and what a little more material would save of it. */
static void say_effort(struct canvas *canvas, const json_t *plan) {
    const json_t *effort = json_object_get(plan, "effort"), *offer = json_object_get(plan, "offer");
    if (figure(effort, "setups", "after") == 0)
        return;
    say_figure(canvas, effort, "setups", "set-up", "set-ups");
    if (json_object_get(effort, "loads") != NULL) {
        put(canvas, ", ");
        say_figure(canvas, effort, "loads", "load of the saw", "loads of the saw");
    }
    if (figure(effort, "open_kits", "after") > 0) {
        put(canvas, ", at most ");
        say_figure(canvas, effort, "open_kits", "kit open", "kits open");
    }
    put(canvas, ".");
    end_line(canvas);
    json_int_t saved =
        figure(effort, "setups", "after") - json_integer_value(json_object_get(offer, "setups"));
    if (offer == NULL || saved < 1)
        return;
    put(canvas, "For %.*f in all, %" JSON_INTEGER_FORMAT " %s fewer could be had.",
        canvas->style->money ? 2 : 1,
        json_number_value(json_object_get(offer, "cost")) / (canvas->style->money ? 100 : 1), saved,
        saved == 1 ? "set-up" : "set-ups");
    end_line(canvas);
}

static void draw_totals(struct canvas *canvas, const json_t *plan, const struct totals *totals) {
    double consumed = totals->bars - totals->rack;
    put(canvas,
        "%" JSON_INTEGER_FORMAT " %s, %.1f m: pieces %.1f m, back to the rack %.1f m, scrap %.1f m, "
        "saw %.1f m.",
        totals->count, totals->count == 1 ? "bar" : "bars", totals->bars / 1000, totals->pieces / 1000,
        totals->rack / 1000, totals->scrap / 1000, (totals->dust + totals->trim) / 1000);
    end_line(canvas);
    if (consumed > 0)
        put(canvas, "Yield %.1f %% of what is used up. ", 100 * totals->pieces / consumed);
    say_cost(canvas, plan);
    end_line(canvas);
    say_effort(canvas, plan);
    const json_t *unmet = json_object_get(plan, "unmet");
    for (size_t i = 0; i < json_array_size(unmet); i++) {
        const json_t *left = json_array_get(unmet, i);
        put(canvas, "Not cut: %" JSON_INTEGER_FORMAT " %s %s (%s).",
            json_integer_value(json_object_get(left, "quantity")), mark(canvas, TIMES),
            json_string_value(json_object_get(left, "piece")),
            json_string_value(json_object_get(left, "why")));
        end_line(canvas);
    }
    const json_t *buy = json_object_get(plan, "buy");
    for (size_t i = 0; i < json_array_size(buy); i++) {
        const json_t *bar = json_array_get(buy, i);
        put(canvas, "To buy: %" JSON_INTEGER_FORMAT " %s %s.",
            json_integer_value(json_object_get(bar, "count")), mark(canvas, TIMES),
            json_string_value(json_object_get(bar, "bar")));
        end_line(canvas);
    }
}

/* Name to length for bars or pieces. */
static json_t *lengths_by_name(const json_t *list, double *longest) {
    json_t *lengths = json_object();
    *longest = 0;
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *item = json_array_get(list, i);
        const char *name = json_string_value(json_object_get(item, "name"));
        ell_length tenths = 0;
        const json_t *length = json_object_get(item, "length");
        bool read = json_is_string(length) ? ell_length_parse(json_string_value(length), &tenths)
                                           : ell_length_from_mm(json_number_value(length), &tenths);
        if (name != NULL && read)
            json_object_set_new(lengths, name, json_real((double)tenths / 10));
        if ((double)tenths / 10 > *longest)
            *longest = (double)tenths / 10;
    }
    return lengths;
}

/* Every bar and piece that the plan names stands in the problem. */
static bool belong_together(const json_t *bars, const json_t *pieces, const json_t *runs) {
    for (size_t i = 0; i < json_array_size(runs); i++) {
        const json_t *run = json_array_get(runs, i), *names = json_object_get(run, "pieces");
        const char *bar = json_string_value(json_object_get(run, "bar"));
        if (bar == NULL || json_object_get(bars, bar) == NULL)
            return false;
        for (size_t n = 0; n < json_array_size(names); n++) {
            const char *name = json_string_value(json_array_get(names, n));
            if (name == NULL || json_object_get(pieces, name) == NULL)
                return false;
        }
    }
    return json_is_array(runs);
}

/* The longest bar that is used sets the scale. */
static double longest_used(const json_t *bars, const json_t *runs) {
    double longest = 1;
    for (size_t i = 0; i < json_array_size(runs); i++) {
        const char *name = json_string_value(json_object_get(json_array_get(runs, i), "bar"));
        double length = json_number_value(json_object_get(bars, name));
        if (length > longest)
            longest = length;
    }
    return longest;
}

size_t cutting_picture(const json_t *problem, const json_t *plan, const struct picture_style *style,
                       char *text, size_t size) {
    double longest;
    json_t *bars = lengths_by_name(json_object_get(problem, "bars"), &longest);
    json_t *pieces = lengths_by_name(json_object_get(problem, "pieces"), &longest);
    const json_t *runs = json_object_get(plan, "bars");
    struct canvas canvas = {.text = text, .size = size, .style = style, .lengths = pieces};
    if (belong_together(bars, pieces, runs)) {
        struct totals totals = {0};
        double kerf = json_number_value(json_object_get(problem, "kerf"));
        canvas.columns = style->columns < 40 ? 40 : style->columns > 400 ? 400 : style->columns;
        canvas.scale = (canvas.columns - 4) / longest_used(bars, runs);
        for (size_t i = 0; i < json_array_size(runs); i++) {
            const json_t *run = json_array_get(runs, i);
            const char *name = json_string_value(json_object_get(run, "bar"));
            double length = json_number_value(json_object_get(bars, name));
            draw_run(&canvas, run, length, kerf);
            add_up(&canvas, run, length, &totals);
        }
        if (!style->bars_only)
            draw_totals(&canvas, plan, &totals);
    }
    if (size > 0)
        text[canvas.needed < size ? canvas.needed : canvas.kept] = '\0';
    json_decref(bars);
    json_decref(pieces);
    return canvas.needed;
}
