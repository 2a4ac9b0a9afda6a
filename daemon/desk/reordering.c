/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/reordering.h"

#include "desk/reckoning.h"
#include "desk/statement.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *const classes[REORDERING_CLASSES] = {"A", "B", "C"};

static void service_read(struct form *form, double service[REORDERING_CLASSES]) {
    char path[128];
    struct form inner;
    if (!json_is_object(json_object_get(form->object, "service"))) {
        double all = form_number_or(form, "service", 0.5, 0.9999, 0);
        for (int i = 0; i < REORDERING_CLASSES; i++)
            service[i] = all;
        return;
    }
    const json_t *object = form_object(form, "service");
    form_open(&inner, object, form_below(form, "service", -1, path), form->fault);
    for (int i = 0; i < REORDERING_CLASSES; i++)
        service[i] = form_number(&inner, classes[i], 0.5, 0.9999);
    form->failed = !form_close(&inner) || form->failed;
}

void reordering_read(struct form *form, struct reordering *practice) {
    char part[41];
    form_text_or(form, "part", part, sizeof part, "");
    service_read(form, practice->service);
    practice->order_cost = form_number_or(form, "order_cost", 0, 1e9, 2500);
    practice->holding_share = form_number_or(form, "holding_share", 0.001, 10, 0.25);
}

/* In the unit that people use: pieces, or millimetres for what is sold by length. */
static json_t *shown(const json_t *row, double quantity) {
    double value = row_by_length(row) ? round(quantity) / 10 : round(quantity * 100) / 100;
    return value == floor(value) && fabs(value) < 9e15 ? json_integer((json_int_t)value) : json_real(value);
}

static bool add_figures(json_t *line, const struct reckoning *of) {
    const struct reorder *reorder = &of->reorder;
    const struct {
        const char *name;
        double quantity;
    } figures[] = {{"on_hand", of->on_hand},
                   {"usable", of->usable},
                   {"wanted", of->hard + of->soft},
                   {"wanted_hard", of->hard},
                   {"on_order", of->on_order},
                   {"proposed", row_number(of->row, "proposed")},
                   {"position", (double)of->position},
                   {"weekly", reorder->mean},
                   {"deviation", reorder->deviation},
                   {"lead_demand", reorder->lead_mean},
                   {"safety_stock", reorder->safety_stock},
                   {"reorder_point", (double)reorder->point},
                   {"buy", (double)of->buy}};
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
        if (json_object_set_new(line, figures[i].name, shown(of->row, figures[i].quantity)) != 0)
            return false;
    return true;
}

/* What the row says of itself goes out as it is. */
static bool add_told(json_t *line, const json_t *row) {
    static const char *const told[] = {
        "kind",     "code",      "name",           "unit",      "system",    "finish", "length", "class",
        "supplier", "lead_days", "lead_deviation", "lead_from", "lead_seen", "pack",   "least",  "yield"};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        json_t *value = json_object_get(row, told[i]);
        bool wanted = value != NULL && (!json_is_null(value) || strcmp(told[i], "supplier") == 0);
        if (wanted && json_object_set(line, told[i], value) != 0)
            return false;
    }
    return true;
}

static bool add_week(json_t *line, const char *name, const struct reckoning *of, size_t ahead) {
    char week[11];
    row_week(of->row, ahead, week);
    return ahead >= of->week_count || json_object_set_new(line, name, json_string(week)) == 0;
}

static bool add_projection(json_t *line, const struct reckoning *of) {
    json_t *weeks = json_array();
    if (json_object_set_new(line, "projection", weeks) != 0)
        return false;
    for (size_t i = 0; i < of->week_count; i++) {
        const struct project_week *week = &of->weeks[i];
        char day[11];
        row_week(of->row, i, day);
        json_t *item =
            json_pack("{s:s, s:o, s:o, s:o, s:o}", "week", day, "coming", shown(of->row, week->coming),
                      "ordered", shown(of->row, week->ordered), "forecast", shown(of->row, week->forecast),
                      "stock", shown(of->row, week->stock));
        if (json_array_append_new(weeks, item) != 0)
            return false;
    }
    return true;
}

static json_t *line_of(const struct reckoning *of, bool projection) {
    char *why = reckoning_why(of);
    if (why == NULL)
        return NULL;
    json_t *price = json_object_get(of->row, "price");
    json_t *line =
        json_pack("{s:s, s:I, s:b, s:f, s:f, s:o, s:s}", "law", demand_law_words[of->reorder.law], "weeks",
                  (json_int_t)of->reorder.weeks, "history_short", of->reorder.weeks < REORDERING_WEEKS_ENOUGH,
                  "service", of->service, "season", round(of->reorder.season * 1000) / 1000, "price",
                  json_is_number(price) ? json_integer((json_int_t)of->price) : json_null(), "why", why);
    free(why);
    if (line != NULL && add_told(line, of->row) && add_figures(line, of) &&
        add_week(line, "below_safety", of, of->project.below) &&
        add_week(line, "runs_out", of, of->project.out) && (!projection || add_projection(line, of)))
        return line;
    json_decref(line);
    return NULL;
}

json_t *reordering_line(const json_t *row, const struct reordering *practice, size_t weeks,
                        struct fault *fault) {
    struct reckoning reckoning;
    if (!reckon(row, practice, weeks > 0 ? weeks : REORDERING_AHEAD, &reckoning, fault))
        return NULL;
    json_t *line = line_of(&reckoning, weeks > 0);
    if (line == NULL)
        fault_memory(fault);
    return line;
}

/* Lays the history out: a number for each week, the oldest first, null where the workshop was shut. While there is no whole week
 * yet, it is the one under way. */
static bool lay_out(json_t *row, const bool open[], size_t open_count, struct fault *fault) {
    size_t count = (size_t)row_number(row, "weeks"), length = count > 0 ? count : 1;
    json_t *weeks = json_array(), *pair;
    size_t index;
    for (size_t i = 0; weeks != NULL && i < length; i++) {
        size_t back = length - 1 - i;
        bool shut = count > 0 && !(back < open_count && open[back]);
        json_array_append_new(weeks, shut ? json_null() : json_integer(0));
    }
    json_array_foreach(json_object_get(row, "demand"), index, pair) {
        json_int_t back = json_integer_value(json_array_get(pair, 0)) + (count == 0);
        if (back >= 0 && (size_t)back < length)
            json_array_set(weeks, length - 1 - (size_t)back, json_array_get(pair, 1));
    }
    if (json_array_size(weeks) == length && json_object_set_new(row, "weeks", weeks) == 0)
        return true;
    return fault_memory(fault);
}

static bool add_lines(const json_t *found, const struct reordering *practice, bool due_only, size_t weeks,
                      json_t *lines, struct fault *fault) {
    enum { HISTORY = 104 };
    bool open[HISTORY] = {false};
    json_t *row;
    const json_t *back;
    size_t index;
    json_array_foreach(json_object_get(found, "open"), index, back) {
        if (json_integer_value(back) < HISTORY)
            open[json_integer_value(back)] = true;
    }
    json_array_foreach(json_object_get(found, "rows"), index, row) {
        json_object_set(row, "this_week", json_object_get(found, "this_week"));
        json_object_set(row, "week_left", json_object_get(found, "week_left"));
        json_t *line =
            lay_out(row, open, HISTORY, fault) ? reordering_line(row, practice, weeks, fault) : NULL;
        if (line == NULL)
            return false;
        if (!due_only || row_number(line, "buy") > 0)
            json_array_append(lines, line);
        json_decref(line);
    }
    return true;
}

/* What the caller left open is the catalogue's. */
static struct reordering with_catalogue(const struct reordering *practice, const json_t *found) {
    struct reordering made = *practice;
    for (int i = 0; i < REORDERING_CLASSES; i++)
        if (made.service[i] <= 0)
            made.service[i] = row_number(json_object_get(found, "service"), classes[i]);
    return made;
}

json_t *reordering_page(struct desk_call *call, const json_t *wanted, const struct reordering *practice,
                        bool due_only, size_t weeks, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, wanted);
    json_t *found = statement_json(call, &query_reorder_demand, &values, fault), *page = NULL,
           *lines = json_array();
    if (found != NULL) {
        struct reordering used = with_catalogue(practice, found);
        if (add_lines(found, &used, due_only, weeks, lines, fault))
            page = json_pack("{s:O, s:O}", "lines", lines, "next", json_object_get(found, "next"));
    }
    json_decref(lines);
    json_decref(found);
    return page;
}
