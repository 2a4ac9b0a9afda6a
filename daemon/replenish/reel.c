/* SPDX-License-Identifier: Apache-2.0 */
#include "replenish/reel.h"

double reel_serves(double rest, const struct cut_length *asked, size_t count) {
    double all = 0, served = 0;
    for (size_t i = 0; i < count; i++) {
        double length = asked[i].length * asked[i].pieces;
        all += length;
        served += asked[i].length <= rest ? length : 0;
    }
    return all > 0 ? rest * served / all : rest;
}

double reel_longest(const struct cut_length *asked, size_t count) {
    double longest = 0;
    for (size_t i = 0; i < count; i++)
        longest = asked[i].length > longest ? asked[i].length : longest;
    return longest;
}
