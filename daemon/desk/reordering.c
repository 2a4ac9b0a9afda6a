/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/reordering.h"

#include "replenish/replenish.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { QUANTITY_TEXT = 32, WHY_TEXT = 900, TENTHS_OF_A_METRE = 10000 };

/* What is there and on its way, less what open orders want, and what follows from it. */
struct outlook {
    struct reorder reorder;
    int64_t position, buy;
};

void reordering_read(struct form *form, struct reordering *practice) {
    char part[41];
    form_text_or(form, "part", part, sizeof part, "");
    practice->service = form_number_or(form, "service", 0.5, 0.9999, 0.95);
    practice->order_cost = form_number_or(form, "order_cost", 0, 1e9, 2500);
    practice->holding_share = form_number_or(form, "holding_share", 0.001, 10, 0.25);
}

static double number_of(const json_t *row, const char *name) {
    return json_number_value(json_object_get(row, name));
}

static const char *text_of(const json_t *row, const char *name) {
    const char *text = json_string_value(json_object_get(row, name));
    return text == NULL ? "" : text;
}

static bool by_length(const json_t *row) {
    return strcmp(text_of(row, "unit"), "length") == 0;
}

static bool compute_reorder(const json_t *row, double service, struct reorder *reorder, struct fault *fault) {
    const json_t *weeks = json_object_get(row, "weeks");
    size_t count = json_array_size(weeks);
    double *used = calloc(count ? count : 1, sizeof *used);
    if (used == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < count; i++)
        used[i] = json_number_value(json_array_get(weeks, i));
    struct demand demand = {used, count};
    struct lead_time lead = {fmin(104, fmax(0.1, number_of(row, "lead_days") / 7)),
                             fmin(104, number_of(row, "lead_deviation") / 7)};
    bool good = reorder_compute(&demand, &lead, service, reorder, fault);
    free(used);
    return good;
}

/* How many to buy when the position is at or below the reorder point: at least enough to be above it again, and whole
 * metres of what is sold by length. A part without price or demand is bought by need alone. */
static bool compute_lot(const json_t *row, const struct reordering *practice, struct outlook *outlook,
                        struct fault *fault) {
    const struct reorder *reorder = &outlook->reorder;
    int64_t need = reorder->point - outlook->position, pack = by_length(row) ? TENTHS_OF_A_METRE : 1;
    double price = number_of(row, "price") / (double)pack;
    outlook->buy = 0;
    if (outlook->position > reorder->point || (reorder->law == DEMAND_NONE && need <= 0))
        return true;
    need = need > 0 ? need : 1;
    outlook->buy = (need + pack - 1) / pack * pack;
    if (price <= 0 || reorder->mean <= 0)
        return true;
    struct price_break price_of_one = {1, price};
    struct buying buying = {.yearly = reorder->mean * 52,
                            .order_cost = practice->order_cost,
                            .holding_share = practice->holding_share,
                            .pack = pack,
                            .least = outlook->buy,
                            .prices = &price_of_one,
                            .price_count = 1};
    struct lot lot;
    if (!lot_compute(&buying, &lot, fault))
        return false;
    outlook->buy = lot.quantity;
    return true;
}

/* In the unit that people use: pieces, or millimetres for what is sold by length. */
static json_t *shown(const json_t *row, double quantity) {
    double value = by_length(row) ? round(quantity) / 10 : round(quantity * 100) / 100;
    return value == floor(value) && fabs(value) < 9e15 ? json_integer((json_int_t)value) : json_real(value);
}

static const char *said(const json_t *row, double quantity, char text[QUANTITY_TEXT]) {
    if (by_length(row))
        snprintf(text, QUANTITY_TEXT, "%.15g m", round(quantity / 100) / 100);
    else
        snprintf(text, QUANTITY_TEXT, "%.15g", round(quantity * 10) / 10);
    return text;
}

static void say_lead(const json_t *row, char text[160]) {
    const char *from = text_of(row, "lead_from");
    double days = number_of(row, "lead_days");
    int seen = (int)number_of(row, "lead_seen");
    if (strcmp(from, "receipts") == 0 || strcmp(from, "supplier") == 0)
        snprintf(text, 160, "%.15g days (deviation %.15g) as seen in %d receipts%s", days,
                 number_of(row, "lead_deviation"), seen,
                 strcmp(from, "supplier") == 0 ? " from this supplier" : "");
    else
        snprintf(text, 160, "%.15g days %s", days,
                 strcmp(from, "catalogue") == 0 ? "by the catalogue" : "assumed, for nobody told");
}

/* One sentence that gives every figure the proposal comes from. */
static void say_why(const json_t *row, const struct reordering *practice, const struct outlook *outlook,
                    char text[WHY_TEXT]) {
    const struct reorder *reorder = &outlook->reorder;
    int weeks = (int)json_array_size(json_object_get(row, "weeks"));
    char hand[QUANTITY_TEXT], coming[QUANTITY_TEXT], wanted[QUANTITY_TEXT], position[QUANTITY_TEXT];
    char point[QUANTITY_TEXT], mean[QUANTITY_TEXT], deviation[QUANTITY_TEXT], during[QUANTITY_TEXT];
    char safety[QUANTITY_TEXT], buy[QUANTITY_TEXT], lead[160], history[200];
    say_lead(row, lead);
    if (reorder->law == DEMAND_NONE)
        snprintf(history, sizeof history, "nothing was used in %d week%s", weeks, weeks == 1 ? "" : "s");
    else
        snprintf(history, sizeof history, "%s a week were used over %d week%s (deviation %s, %s law)",
                 said(row, reorder->mean, mean), weeks, weeks == 1 ? "" : "s",
                 said(row, reorder->deviation, deviation), demand_law_words[reorder->law]);
    snprintf(
        text, WHY_TEXT,
        "%s on hand and %s on order, less %s wanted by open orders, make %s, %s the reorder point of %s: "
        "%s, so the lead time of %s takes %s, and %s more is kept so that %.15g %% of lead times pass "
        "without running out; %s%s%s.",
        said(row, number_of(row, "on_hand"), hand), said(row, number_of(row, "on_order"), coming),
        said(row, number_of(row, "wanted"), wanted), said(row, (double)outlook->position, position),
        outlook->position > reorder->point ? "above" : "at or below",
        said(row, (double)reorder->point, point), history, lead, said(row, reorder->lead_mean, during),
        said(row, reorder->safety_stock, safety), practice->service * 100,
        outlook->buy > 0 ? "buy " : "nothing to buy",
        outlook->buy > 0 ? said(row, (double)outlook->buy, buy) : "",
        weeks < REORDERING_WEEKS_ENOUGH ? ", but so short a history is hardly more than a guess" : "");
}

static bool add_figures(json_t *line, const json_t *row, const struct outlook *outlook) {
    const struct reorder *reorder = &outlook->reorder;
    const struct {
        const char *name;
        double quantity;
    } figures[] = {{"on_hand", number_of(row, "on_hand")},
                   {"wanted", number_of(row, "wanted")},
                   {"on_order", number_of(row, "on_order")},
                   {"proposed", number_of(row, "proposed")},
                   {"position", (double)outlook->position},
                   {"weekly", reorder->mean},
                   {"deviation", reorder->deviation},
                   {"lead_demand", reorder->lead_mean},
                   {"safety_stock", reorder->safety_stock},
                   {"reorder_point", (double)reorder->point},
                   {"buy", (double)outlook->buy}};
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
        if (json_object_set_new(line, figures[i].name, shown(row, figures[i].quantity)) != 0)
            return false;
    return true;
}

/* What the row says of itself goes out as it is. */
static bool add_told(json_t *line, const json_t *row) {
    static const char *const told[] = {"kind",      "code",      "name",     "unit",      "system",
                                       "finish",    "length",    "supplier", "lead_days", "lead_deviation",
                                       "lead_from", "lead_seen", "price"};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        json_t *value = json_object_get(row, told[i]);
        if (value != NULL && json_object_set(line, told[i], value) != 0)
            return false;
    }
    return true;
}

json_t *reordering_line(const json_t *row, const struct reordering *practice, struct fault *fault) {
    struct outlook outlook = {.position = (int64_t)(number_of(row, "on_hand") + number_of(row, "on_order") -
                                                    number_of(row, "wanted"))};
    if (!compute_reorder(row, practice->service, &outlook.reorder, fault) ||
        !compute_lot(row, practice, &outlook, fault))
        return NULL;
    int weeks = (int)json_array_size(json_object_get(row, "weeks"));
    char why[WHY_TEXT];
    say_why(row, practice, &outlook, why);
    json_t *line = json_pack("{s:s, s:i, s:b, s:s}", "law", demand_law_words[outlook.reorder.law], "weeks",
                             weeks, "history_short", weeks < REORDERING_WEEKS_ENOUGH, "why", why);
    if (line != NULL && add_told(line, row) && add_figures(line, row, &outlook))
        return line;
    json_decref(line);
    fault_memory(fault);
    return NULL;
}

json_t *reordering_lines(struct desk_call *call, const struct reordering *practice, bool due_only,
                         struct fault *fault) {
    json_t *rows = desk_read(call, &query_reorder_demand, "parts", fault);
    json_t *lines = rows == NULL ? NULL : json_array();
    const json_t *row;
    size_t i;
    json_array_foreach(rows, i, row) {
        json_t *line = reordering_line(row, practice, fault);
        if (line == NULL) {
            json_decref(lines);
            lines = NULL;
            break;
        }
        if (!due_only || number_of(line, "buy") > 0)
            json_array_append(lines, line);
        json_decref(line);
    }
    json_decref(rows);
    return lines;
}
