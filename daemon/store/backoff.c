/* SPDX-License-Identifier: Apache-2.0 */
#include "store/backoff.h"

int64_t backoff_delay(unsigned failures, int64_t base, int64_t most, uint64_t random) {
    int64_t whole = base;
    for (unsigned i = 1; i < failures && whole < most; i++)
        whole *= 2;
    if (whole > most)
        whole = most;
    int64_t half = whole / 2;
    return half + (int64_t)(random % (uint64_t)(whole - half + 1));
}

uint64_t backoff_random(uint64_t *state) {
    uint64_t mixed = *state += 0x9e3779b97f4a7c15u;
    mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9u;
    mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebu;
    return mixed ^ (mixed >> 31);
}
