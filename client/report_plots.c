/* The pictures of reports, from the JSON that the daemon gave. SPDX-License-Identifier: Apache-2.0 */
#include "reports.h"

#include "common/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double number_of(const json_t *row, const char *name) {
    return json_number_value(json_object_get(row, name));
}

static const char *text_of(const json_t *row, const char *name) {
    const char *text = json_string_value(json_object_get(row, name));
    return text == NULL ? "" : text;
}

static void today(char text[11]) {
    time_t now = time(NULL);
    struct tm parts;
    gmtime_r(&now, &parts);
    strftime(text, 11, "%Y-%m-%d", &parts);
}

/* How one row becomes one item; false leaves it out. */
typedef bool item_maker(const json_t *row, struct plot_item *item);

static size_t take_items(const json_t *rows, item_maker *make, struct plot_item *items, size_t most) {
    size_t count = 0, index;
    const json_t *row;
    json_array_foreach((json_t *)rows, index, row) {
        if (count == most)
            break;
        items[count] = (struct plot_item){{0}, {0}, {0}};
        count += make(row, &items[count]);
    }
    return count;
}

static int larger_first(const void *one, const void *other) {
    const struct plot_item *a = one, *b = other;
    double x = fabs(a->parts[0]), y = fabs(b->parts[0]);
    return x == y ? strcmp(a->label, b->label) : x < y ? 1 : -1;
}

enum picture { COLUMNS, ROWS_AS_THEY_COME, ROWS_LARGEST_FIRST };

static bool draw_items(const char *path, const struct plot_text *text, enum picture picture,
                       struct plot_item *items, size_t count, struct fault *fault) {
    struct plot *plot;
    if (!plot_open(path, text, &plot, fault))
        return false;
    if (picture == ROWS_LARGEST_FIRST)
        qsort(items, count, sizeof *items, larger_first);
    if (picture == COLUMNS)
        plot_columns(plot, items, count);
    else
        plot_rows(plot, items, count);
    return plot_close(&plot, fault);
}

/* A report whose rows are drawn one by one. What does not fit is said in the subtitle. */
static bool draw_rows(const char *path, struct plot_text text, enum picture picture, const json_t *rows,
                      item_maker *make, struct fault *fault) {
    static struct plot_item items[2000];
    char subtitle[240];
    size_t count = take_items(rows, make, items, sizeof items / sizeof items[0]);
    if (picture != COLUMNS && count > PLOT_ROWS) {
        snprintf(subtitle, sizeof subtitle, "%s; the %s %d of %zu", text.subtitle,
                 picture == ROWS_LARGEST_FIRST ? "largest" : "first", PLOT_ROWS, count);
        text.subtitle = subtitle;
    }
    return draw_items(path, &text, picture, items, count, fault);
}

static void name_item(struct plot_item *item, const char *label) {
    text_copy(item->label, sizeof item->label, label);
}

static void code_and_name(const json_t *row, const char *code, struct plot_item *item) {
    snprintf(item->label, sizeof item->label, "%s  %s", text_of(row, "name"), text_of(row, code));
}

/* Minor units with two decimals, thousands parted. */
static void note_money(struct plot_item *item, double minor) {
    char plain[40];
    snprintf(plain, sizeof plain, "%.2f", minor / 100);
    size_t whole = strcspn(plain, "."), used = 0;
    for (size_t i = 0; plain[i] != '\0' && used + 5 < PLOT_NOTE; i++) {
        if (i > 0 && i < whole && (whole - i) % 3 == 0 && plain[i - 1] != '-') {
            memcpy(item->note + used, "\u2009", 3);
            used += 3;
        }
        item->note[used++] = plain[i];
    }
    item->note[used] = '\0';
}

static bool group_item(const json_t *row, struct plot_item *item) {
    name_item(item, text_of(row, "group"));
    item->parts[0] = number_of(row, "value") / 100;
    note_money(item, number_of(row, "value"));
    return item->parts[0] > 0;
}

bool draw_stock(const json_t *result, const char *path, struct fault *fault) {
    char subtitle[160], day[11];
    struct plot_item whole = {{0}, {0}, {0}};
    today(day);
    note_money(&whole, number_of(json_object_get(result, "totals"), "value"));
    snprintf(subtitle, sizeof subtitle, "%s in all on %s, at the catalogue's prices", whole.note, day);
    struct plot_text text = {"What is in stock, by value", subtitle, "value", {NULL}};
    return draw_rows(path, text, ROWS_LARGEST_FIRST, json_object_get(result, "groups"), group_item, fault);
}

static bool age_item(const json_t *row, struct plot_item *item) {
    int from = (int)number_of(row, "from_weeks");
    const json_t *to = json_object_get(row, "to_weeks");
    if (from == 0)
        snprintf(item->label, sizeof item->label, "under 1 week");
    else if (json_is_null(to))
        snprintf(item->label, sizeof item->label, "%d and more", from);
    else
        snprintf(item->label, sizeof item->label, "%d to %d", from, (int)json_integer_value(to));
    item->parts[0] = number_of(row, "count");
    if (item->parts[0] > 0)
        snprintf(item->note, sizeof item->note, "%.0f  (%.1f m)", item->parts[0],
                 number_of(row, "length") / 1000);
    return true;
}

bool draw_rack(const json_t *result, const char *path, struct fault *fault) {
    char subtitle[200], day[11], places[60] = "";
    const json_t *totals = json_object_get(result, "totals"), *most = json_object_get(totals, "places");
    today(day);
    if (json_is_integer(most))
        snprintf(places, sizeof places, ", %.0f of %.0f places free", number_of(totals, "free"),
                 json_number_value(most));
    snprintf(subtitle, sizeof subtitle, "%.0f offcuts by weeks on the rack, on %s%s",
             number_of(totals, "offcuts"), day, places);
    struct plot_text text = {"How long offcuts lie", subtitle, "offcuts, number (length)", {NULL}};
    return draw_rows(path, text, COLUMNS, json_object_get(result, "ages"), age_item, fault);
}

/* Of each 100 m of track used up, what did not become a good piece. */
static bool loss_item(const json_t *row, struct plot_item *item) {
    double up = number_of(row, "opened") + number_of(row, "used") + number_of(row, "correction") -
                number_of(row, "kept");
    name_item(item, text_of(row, "name"));
    if (up <= 0)
        return true;
    item->parts[0] = 100 * number_of(row, "scrap") / up;
    item->parts[1] = 100 * (number_of(row, "mis_cut") + number_of(row, "recut")) / up;
    item->parts[2] = 100 * (number_of(row, "kerf") + number_of(row, "trim")) / up;
    snprintf(item->note, sizeof item->note, "%.1f", item->parts[0] + item->parts[1] + item->parts[2]);
    return true;
}

bool draw_yield(const json_t *result, const char *path, struct fault *fault) {
    char subtitle[200], title[80];
    const char *by = text_of(result, "by");
    const json_t *totals = json_object_get(result, "totals");
    bool weekly = strcmp(by, "week") == 0;
    snprintf(title, sizeof title, "Track lost at the saw, by %s", by);
    snprintf(subtitle, sizeof subtitle,
             "Since the week of %s: %.1f %% of the track used up became good pieces (%.1f of %.1f m)",
             text_of(result, "since"), 100 * number_of(totals, "yield"),
             (number_of(totals, "pieces_length") - number_of(totals, "recut")) / 1000,
             (number_of(totals, "opened") + number_of(totals, "used") + number_of(totals, "correction") -
              number_of(totals, "kept")) /
                 1000);
    struct plot_text text = {title,
                             subtitle,
                             "lost, % of the track used up",
                             {"scrap", "mis-cut and cut again", "kerf and trims"}};
    return draw_rows(path, text, weekly ? COLUMNS : ROWS_AS_THEY_COME, json_object_get(result, "rows"),
                     loss_item, fault);
}

bool draw_metres(const json_t *result, const char *path, struct fault *fault) {
    static const struct {
        const char *field, *label;
        int part;
    } figures[] = {{"bought", "bought", 0},
                   {"found", "found", 0},
                   {"put_back", "pieces put back", 0},
                   {"correction", "longer than booked", 0},
                   {"pieces", "good pieces", 1},
                   {"bars", "bars on the rack", 1},
                   {"offcuts", "offcuts on the rack", 1},
                   {"kerf", "kerf", 1},
                   {"trim", "trims", 1},
                   {"mis_cut", "mis-cut", 1},
                   {"scrap", "scrap", 1},
                   {"written_off", "written off", 1}};
    struct plot_item items[sizeof figures / sizeof figures[0]] = {0};
    const json_t *totals = json_object_get(result, "totals");
    char subtitle[120], day[11];
    today(day);
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++) {
        double metres = number_of(totals, figures[i].field) / 1000;
        name_item(&items[i], figures[i].label);
        items[i].parts[figures[i].part] = metres;
        snprintf(items[i].note, sizeof items[i].note, "%.1f", metres);
    }
    snprintf(subtitle, sizeof subtitle, "From the first bar to %s; both sides are %.1f m", day,
             (number_of(totals, "bought") + number_of(totals, "found") + number_of(totals, "put_back") +
              number_of(totals, "correction")) /
                 1000);
    struct plot_text text = {
        "Where every metre of track came from and went", subtitle, "m", {"came", "went", NULL}};
    return draw_items(path, &text, ROWS_AS_THEY_COME, items, sizeof items / sizeof items[0], fault);
}

static bool shortage_item(const json_t *row, struct plot_item *item) {
    bool length = strcmp(text_of(row, "unit"), "length") == 0;
    double amount = number_of(row, "short");
    code_and_name(row, "code", item);
    item->parts[0] = number_of(row, "windows");
    snprintf(item->note, sizeof item->note, length ? "%.0f, short of %.1f m" : "%.0f, short of %.0f",
             item->parts[0], length ? amount / 1000 : amount);
    return true;
}

bool draw_shortages(const json_t *result, const char *path, struct fault *fault) {
    char subtitle[120], day[11];
    today(day);
    double orders = number_of(json_object_get(result, "totals"), "orders");
    snprintf(subtitle, sizeof subtitle, "%.0f order%s for something on %s", orders,
             orders == 1 ? " waits" : "s wait", day);
    struct plot_text text = {
        "What is short, by what it holds up", subtitle, "windows held up, number", {NULL}};
    return draw_rows(path, text, ROWS_LARGEST_FIRST, json_object_get(result, "rows"), shortage_item, fault);
}

static bool late_item(const json_t *row, struct plot_item *item) {
    snprintf(item->label, sizeof item->label, "%s  %s", text_of(row, "customer"), text_of(row, "order"));
    item->parts[0] = number_of(row, "days_late");
    snprintf(item->note, sizeof item->note, "%.0f, due %s", item->parts[0], text_of(row, "due"));
    return true;
}

bool draw_late(const json_t *result, const char *path, struct fault *fault) {
    char subtitle[120], day[11];
    today(day);
    snprintf(subtitle, sizeof subtitle, "Past their day on %2$s: %1$.0f",
             number_of(json_object_get(result, "totals"), "late"), day);
    struct plot_text text = {"Late orders", subtitle, "days late", {NULL}};
    return draw_rows(path, text, ROWS_AS_THEY_COME, json_object_get(result, "rows"), late_item, fault);
}

static bool dead_item(const json_t *row, struct plot_item *item) {
    code_and_name(row, "part", item);
    item->parts[0] = number_of(row, "value") / 100;
    note_money(item, number_of(row, "value"));
    return true;
}

bool draw_dead(const json_t *result, const char *path, struct fault *fault) {
    char subtitle[120], day[11];
    today(day);
    snprintf(subtitle, sizeof subtitle, "On %s not used for %.0f weeks, and wanted by no open order", day,
             number_of(result, "weeks"));
    struct plot_text text = {"Dead stock, by value", subtitle, "value", {NULL}};
    return draw_rows(path, text, ROWS_LARGEST_FIRST, json_object_get(result, "rows"), dead_item, fault);
}

static bool use_item(const json_t *row, struct plot_item *item) {
    bool length = strcmp(text_of(row, "unit"), "length") == 0;
    double over = number_of(row, "over");
    code_and_name(row, "code", item);
    item->parts[0] = 100 * number_of(row, "share");
    snprintf(item->note, sizeof item->note, length ? "%+.1f %% (%+.1f m)" : "%+.1f %% (%+.0f)",
             item->parts[0], length ? over / 1000 : over);
    return json_is_number(json_object_get(row, "share")) && over != 0;
}

bool draw_use(const json_t *result, const char *path, struct fault *fault) {
    char subtitle[120];
    snprintf(subtitle, sizeof subtitle, "Since the week of %s; what was used as it was told is left out",
             text_of(result, "since"));
    struct plot_text text = {
        "Used beyond what the take-off said", subtitle, "% of what the take-off said", {NULL}};
    return draw_rows(path, text, ROWS_LARGEST_FIRST, json_object_get(result, "rows"), use_item, fault);
}

/* Metres of what is sold by length. */
bool draw_projection(const json_t *result, const char *path, struct fault *fault) {
    struct plot_week weeks[PLOT_COLUMNS];
    struct plot *plot;
    char title[160], subtitle[200];
    bool length = strcmp(text_of(result, "unit"), "length") == 0;
    double unit = length ? 1000 : 1;
    const json_t *rows = json_object_get(result, "rows");
    size_t count = json_array_size(rows) < PLOT_COLUMNS ? json_array_size(rows) : PLOT_COLUMNS;
    for (size_t i = 0; i < count; i++) {
        const json_t *row = json_array_get(rows, i);
        weeks[i] =
            (struct plot_week){.stock = number_of(row, "stock") / unit,
                               .coming = number_of(row, "coming") / unit,
                               .going = fmax(number_of(row, "ordered"), number_of(row, "forecast")) / unit};
        text_copy(weeks[i].week, sizeof weeks[i].week, text_of(row, "week"));
    }
    snprintf(title, sizeof title, "%s  %s: the stock to come", text_of(result, "name"),
             text_of(result, "code"));
    snprintf(subtitle, sizeof subtitle,
             "As open purchases (grey), open orders and the forecast of %.4g a week (%s) stand",
             number_of(result, "weekly") / unit, text_of(result, "law"));
    struct plot_text text = {title,
                             subtitle,
                             length ? "stock at the end of each week, m"
                                    : "stock at the end of each week, number",
                             {NULL}};
    if (!plot_open(path, &text, &plot, fault))
        return false;
    plot_outlook(plot, number_of(result, "on_hand") / unit, fmax(0, number_of(result, "safety_stock")) / unit,
                 weeks, count);
    return plot_close(&plot, fault);
}
