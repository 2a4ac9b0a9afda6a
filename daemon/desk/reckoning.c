/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/reckoning.h"

#include "replenish/reel.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { PRICES = 16 };

/* Common practice, no source: what is dear is watched more closely. */
static const double usual_service[REORDERING_CLASSES] = {0.98, 0.95, 0.90};

double row_number(const json_t *row, const char *name) {
    return json_number_value(json_object_get(row, name));
}

const char *row_text(const json_t *row, const char *name) {
    const char *text = json_string_value(json_object_get(row, name));
    return text == NULL ? "" : text;
}

bool row_by_length(const json_t *row) {
    return strcmp(row_text(row, "unit"), "length") == 0;
}

void row_week(const json_t *row, size_t ahead, char text[11]) {
    struct tm parts = {0};
    text[0] = '\0';
    if (strptime(row_text(row, "this_week"), "%Y-%m-%d", &parts) == NULL)
        return;
    time_t day = timegm(&parts) + (time_t)ahead * 7 * 86400;
    gmtime_r(&day, &parts);
    strftime(text, 11, "%Y-%m-%d", &parts);
}

static double service_of_class(const json_t *row, const struct reordering *practice) {
    const char *classes = "ABC", *found = strchr(classes, row_text(row, "class")[0]);
    size_t class = found == NULL || *found == '\0' ? REORDERING_CLASSES - 1 : (size_t)(found - classes);
    return practice->service[class] > 0 ? practice->service[class] : usual_service[class];
}

static bool compute_reorder(struct reckoning *made, struct fault *fault) {
    const json_t *weeks = json_object_get(made->row, "weeks");
    size_t count = json_array_size(weeks);
    double *used = calloc(count ? count : 1, sizeof *used);
    bool *closed = calloc(count ? count : 1, sizeof *closed);
    bool good = used != NULL && closed != NULL;
    for (size_t i = 0; good && i < count; i++) {
        closed[i] = json_is_null(json_array_get(weeks, i));
        used[i] = json_number_value(json_array_get(weeks, i));
    }
    struct demand demand = {used, count, closed, row_by_length(made->row)};
    struct lead_time lead = {fmin(104, fmax(0.1, row_number(made->row, "lead_days") / 7)),
                             fmin(104, row_number(made->row, "lead_deviation") / 7)};
    good = good ? reorder_compute(&demand, &lead, made->service, &made->reorder, fault) : fault_memory(fault);
    free(closed);
    free(used);
    return good;
}

/* Adds the pairs [[weeks ahead, quantity, ..]] of `name`, their value at `column`, to the weeks; what lies beyond the last
 * counts in none of them. The sum of all. */
static double add_pairs(struct reckoning *made, const char *name, size_t column, size_t offset) {
    const json_t *pairs = json_object_get(made->row, name), *pair;
    double sum = 0;
    size_t index;
    json_array_foreach((json_t *)pairs, index, pair) {
        double quantity = json_number_value(json_array_get(pair, column));
        size_t ahead = (size_t)json_integer_value(json_array_get(pair, 0));
        sum += quantity;
        if (ahead < made->week_count)
            *(double *)((char *)&made->weeks[ahead] + offset) += quantity;
    }
    return sum;
}

static int by_week(const void *one, const void *other) {
    const double *a = one, *b = other;
    return (a[0] > b[0]) - (a[0] < b[0]);
}

/* Whole bars for the pieces that wait: of all so far, less those of the weeks before, so that rounding up counts once. */
static bool add_bars(struct reckoning *made, struct fault *fault) {
    const json_t *waiting = json_object_get(made->row, "waiting");
    size_t count = json_array_size(waiting);
    double(*pairs)[2] = calloc(count ? count : 1, sizeof *pairs), metres = 0;
    double yield = row_number(made->row, "yield"), bar = row_number(made->row, "length") / 1000;
    if (pairs == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < 2; k++)
            pairs[i][k] = json_number_value(json_array_get(json_array_get(waiting, i), k));
    qsort(pairs, count, sizeof *pairs, by_week);
    for (size_t i = 0; i < count; i++) {
        metres += pairs[i][1] / TENTHS_OF_A_METRE * row_number(made->row, "share");
        int64_t bars = bars_for(metres, bar, yield > 0 && yield <= 1 ? yield : 1);
        double more = bars > made->soft ? (double)bars - made->soft : 0;
        made->soft += more;
        if (pairs[i][0] < (double)made->week_count)
            made->weeks[(size_t)pairs[i][0]].ordered += more;
    }
    free(pairs);
    return true;
}

/* What is set aside for a kit serves; of the free rests of reels that which the lengths asked for can use. */
static bool take_rests(struct reckoning *made, struct fault *fault) {
    const json_t *rests = json_object_get(made->row, "rests"),
                 *lengths = json_object_get(made->row, "lengths");
    size_t count = json_array_size(lengths);
    made->usable = made->on_hand;
    if (count == 0 || json_array_size(rests) == 0)
        return true;
    struct cut_length *asked = calloc(count, sizeof *asked);
    if (asked == NULL)
        return fault_memory(fault);
    for (size_t i = 0; i < count; i++)
        asked[i] = (struct cut_length){json_number_value(json_array_get(json_array_get(lengths, i), 0)),
                                       json_number_value(json_array_get(json_array_get(lengths, i), 1))};
    made->longest = reel_longest(asked, count);
    made->usable = row_number(made->row, "reserved");
    for (size_t i = 0; i < json_array_size(rests); i++) {
        double rest = json_number_value(json_array_get(rests, i));
        made->usable += reel_serves(rest, asked, count);
        made->short_rests += rest < made->longest;
    }
    made->usable = round(made->usable);
    free(asked);
    return true;
}

static bool take_orders(struct reckoning *made, struct fault *fault) {
    size_t ordered = offsetof(struct project_week, ordered), coming = offsetof(struct project_week, coming);
    made->on_hand = row_number(made->row, "on_hand");
    made->on_order = add_pairs(made, "coming", 1, coming);
    made->hard = add_pairs(made, "due", 1, ordered);
    made->soft = add_pairs(made, "due", 2, ordered);
    if (!add_bars(made, fault) || !take_rests(made, fault))
        return false;
    made->position = (int64_t)llround(made->usable + made->on_order - made->hard - made->soft);
    return true;
}

static size_t take_prices(const json_t *row, double unit, struct price_break prices[PRICES]) {
    const json_t *steps = json_object_get(row, "prices");
    size_t count = 1;
    prices[0] = (struct price_break){1, row_number(row, "price") / unit};
    for (size_t i = 0; i < json_array_size(steps) && count < PRICES; i++) {
        const json_t *step = json_array_get(steps, i);
        prices[count++] =
            (struct price_break){(int64_t)(row_number(step, "from") * (row_by_length(row) ? ELL_MM : 1)),
                                 row_number(step, "price") / unit};
    }
    return count;
}

static double price_at(const struct price_break *prices, size_t count, int64_t quantity) {
    double price = prices[0].price;
    for (size_t i = 1; i < count && prices[i].from <= quantity; i++)
        price = prices[i].price;
    return price;
}

/* An economic quantity rests on a year's demand, which few weeks do not tell: it may cover half a year of what one busy week used.
 * Common practice, no source. */
static int64_t most_on_a_guess(const struct reckoning *made, int64_t pack) {
    int64_t most = made->buy + (int64_t)ceil(REORDERING_GUESS_COVERS * made->reorder.mean);
    return (most + pack - 1) / pack * pack;
}

/* How many to buy when the position is at or below the reorder point: at least enough to be above it again, in whole packs (whole
 * metres of what is sold by length), and as many as the supplier sells at least. A part without price or demand is bought by need
 * alone. */
static bool compute_lot(const struct reordering *practice, struct reckoning *made, struct fault *fault) {
    const struct reorder *reorder = &made->reorder;
    bool by_length = row_by_length(made->row);
    int64_t need = reorder->point - made->position, pack = by_length ? TENTHS_OF_A_METRE : 1;
    double unit = by_length ? TENTHS_OF_A_METRE : 1;
    made->price = row_number(made->row, "price");
    if (made->position > reorder->point || (reorder->law == DEMAND_NONE && need <= 0))
        return true;
    if (row_number(made->row, "pack") > 1)
        pack = (int64_t)row_number(made->row, "pack") * (by_length ? ELL_MM : 1);
    int64_t least = (int64_t)row_number(made->row, "least") * (by_length ? ELL_MM : 1);
    need = need > least ? need : least;
    need = need > 0 ? need : 1;
    made->buy = (need + pack - 1) / pack * pack;
    if (made->price <= 0 || reorder->mean <= 0)
        return true;
    struct price_break prices[PRICES];
    size_t count = take_prices(made->row, unit, prices);
    struct buying buying = {.yearly = reorder->mean * 52,
                            .order_cost = practice->order_cost,
                            .holding_share = practice->holding_share,
                            .pack = pack,
                            .least = made->buy,
                            .prices = prices,
                            .price_count = count};
    struct lot lot, plain;
    if (!lot_compute(&buying, &lot, fault))
        return false;
    buying.price_count = 1;
    if (!lot_compute(&buying, &plain, fault))
        return false;
    int64_t most = reorder->weeks < REORDERING_WEEKS_ENOUGH ? most_on_a_guess(made, pack) : INT64_MAX;
    made->on_a_guess = lot.quantity > most;
    made->for_price = !made->on_a_guess && lot.quantity > plain.quantity;
    made->buy = made->on_a_guess ? most : lot.quantity;
    made->price = round(price_at(prices, count, made->buy) * unit);
    return true;
}

static bool project_stock(struct reckoning *made, struct fault *fault) {
    for (size_t i = 0; i < made->week_count; i++) {
        double share = i == 0 ? fmin(1, fmax(0, row_number(made->row, "week_left"))) : 1;
        made->weeks[i].forecast = reorder_forecast(&made->reorder, i + 1) * share;
    }
    return project_compute(made->usable, fmax(0, made->reorder.safety_stock), made->weeks, made->week_count,
                           &made->project, fault);
}

bool reckon(const json_t *row, const struct reordering *practice, size_t weeks, struct reckoning *made,
            struct fault *fault) {
    *made = (struct reckoning){.row = row, .service = service_of_class(row, practice), .week_count = weeks};
    return take_orders(made, fault) && compute_reorder(made, fault) && compute_lot(practice, made, fault) &&
           project_stock(made, fault);
}
