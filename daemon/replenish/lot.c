/* Order quantities. SPDX-License-Identifier: Apache-2.0 */
#include "replenish/normal.h"
#include "replenish/replenish.h"

#include <math.h>

static bool check(const struct buying *buying, struct fault *fault) {
    if (!(buying->yearly > 0 && buying->yearly <= 1e12))
        return fault_set(fault, "out-of-range", "yearly", "Demand a year is above 0, to 1e12.");
    if (!(buying->order_cost >= 0 && buying->order_cost <= 1e12))
        return fault_set(fault, "out-of-range", "order cost", "The cost of an order is 0 to 1e12.");
    if (!(buying->holding_share > 0 && buying->holding_share <= 10))
        return fault_set(fault, "out-of-range", "holding share", "The share is above 0, to 10 a year.");
    if (buying->pack < 1 || buying->pack > 1000000000 || buying->least < 0 || buying->least > 1000000000)
        return fault_set(fault, "out-of-range", "pack", "A pack is 1 to 1e9, a least order 0 to 1e9.");
    if (buying->price_count < 1 || buying->price_count > 16)
        return fault_set(fault, "out-of-range", "prices", "There are 1 to 16 prices.");
    for (size_t i = 0; i < buying->price_count; i++)
        if (!(buying->prices[i].price > 0 && buying->prices[i].price <= 1e12) || buying->prices[i].from < 0 ||
            (i > 0 && buying->prices[i].from <= buying->prices[i - 1].from))
            return fault_set(fault, "out-of-range", "prices",
                             "Prices are above 0 and their quantities rise.");
    return buying->prices[0].from <= 1 || buying->prices[0].from <= buying->least ||
           fault_set(fault, "out-of-range", "prices", "The first price must hold from the least order on.");
}

static double price_at(const struct buying *buying, int64_t quantity) {
    double price = buying->prices[0].price;
    for (size_t i = 1; i < buying->price_count && buying->prices[i].from <= quantity; i++)
        price = buying->prices[i].price;
    return price;
}

/* Takes `quantity`, raised to whole packs and the least order, if it costs less a year than *best. */
static void consider(const struct buying *buying, double quantity, double economic, struct lot *best) {
    double least = fmax(fmax(quantity, 1), (double)buying->least);
    int64_t whole = (int64_t)ceil(least / (double)buying->pack - 1e-9) * buying->pack;
    double price = price_at(buying, whole), holding = price * buying->holding_share;
    double cost = buying->yearly * price + buying->yearly * buying->order_cost / (double)whole +
                  holding * (double)whole / 2;
    if (best->quantity == 0 || cost < best->yearly_cost)
        *best = (struct lot){economic, whole, price, cost};
}

bool lot_compute(const struct buying *buying, struct lot *lot, struct fault *fault) {
    if (!check(buying, fault))
        return false;
    struct lot best = {0};
    for (size_t i = 0; i < buying->price_count; i++) {
        double holding = buying->prices[i].price * buying->holding_share;
        double economic = sqrt(2 * buying->yearly * buying->order_cost / holding);
        consider(buying, economic, economic, &best);
        consider(buying, floor(economic / (double)buying->pack) * (double)buying->pack, economic, &best);
        consider(buying, (double)buying->prices[i].from, economic, &best);
    }
    *lot = best;
    return true;
}

struct service service_of(double lead_mean, double lead_deviation, double point, double quantity) {
    if (!(lead_deviation > 0)) {
        double missing = fmax(0, lead_mean - point);
        return (struct service){missing > 0 ? 0 : 1, missing, quantity > 0 ? 1 - missing / quantity : 0};
    }
    double z = (point - lead_mean) / lead_deviation, shortage = lead_deviation * normal_loss(z);
    return (struct service){normal_below(z), shortage, quantity > 0 ? 1 - shortage / quantity : 0};
}

int64_t bars_for(double metres, double bar_metres, double yield) {
    if (!(metres >= 0 && metres <= 1e9) || !(bar_metres > 0 && bar_metres <= 1e5) ||
        !(yield > 0 && yield <= 1))
        return -1;
    return (int64_t)ceil(metres / (bar_metres * yield) - 1e-9);
}
