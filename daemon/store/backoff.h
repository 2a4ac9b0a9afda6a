/* How long to wait before trying again. Pure. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_BACKOFF_H
#define ELLWAND_STORE_BACKOFF_H

#include <stdint.h>

/* Milliseconds before the next attempt, after `failures` in a row (1 or more): base * 2^(failures-1), at most
 * `most`, of which the upper half is drawn by `random`, so that many who failed together do not come back
 * together. */
int64_t backoff_delay(unsigned failures, int64_t base, int64_t most, uint64_t random);

/* The next of a sequence of 64 random bits (SplitMix64: Steele, Lea, Flood 2014, "Fast splittable
 * pseudorandom number generators"). Any start will do. Not for secrets. */
uint64_t backoff_random(uint64_t *state);

#endif
