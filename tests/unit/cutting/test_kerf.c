/* Kerf arithmetic, by hand. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/kerf.h"

#include <criterion/criterion.h>

static const struct cutting_saw plain = {.kerf = 22, .lead_trim = 100, .longest_bar = ELL_LENGTH_MAX};
static const struct cutting_saw clamped = {
    .kerf = 22, .lead_trim = 100, .tail_clamp = 500, .longest_bar = ELL_LENGTH_MAX};

static void balance(const struct cutting_saw *saw, ell_length bar, bool squared, ell_length sum,
                    int64_t pieces) {
    struct kerf_account account = kerf_settle(saw, bar, squared, sum, pieces);
    cr_assert_eq(account.trim + sum + account.dust + account.remainder, bar, "bar %ld, sum %ld", (long)bar,
                 (long)sum);
}

/* 1000 mm, 10 mm trim: two pieces of 493.9 with one kerf of 2.2 end flush: 10 + 987.8 + 2.2 = 1000. */
Test(kerf, last_piece_may_end_flush) {
    cr_assert_eq(kerf_capacity(&plain, 10000, false), 10000 - 100 + 22, "capacity");
    cr_assert_leq(2 * (4939 + 22), kerf_capacity(&plain, 10000, false), "flush pieces fit");
    cr_assert_gt(4939 + 4940 + 2 * 22, kerf_capacity(&plain, 10000, false), "a tenth more does not fit");
    struct kerf_account account = kerf_settle(&plain, 10000, false, 9878, 2);
    cr_assert_eq(account.cuts, 1, "one kerf between two flush pieces, not %ld", (long)account.cuts);
    cr_assert_eq(account.remainder, 0, "nothing remains");
}

/* A tail of 1.5 mm under a blade of 2.2 mm is dust. */
Test(kerf, short_tail_is_dust) {
    struct kerf_account account = kerf_settle(&plain, 10000, false, 9878 - 15, 2);
    cr_assert_eq(account.cuts, 2, "two cuts");
    cr_assert_eq(account.dust, 22 + 15, "one kerf and the tail, not %ld", (long)account.dust);
    cr_assert_eq(account.remainder, 0, "nothing remains");
}

Test(kerf, clamp_always_needs_the_last_cut) {
    cr_assert_eq(kerf_capacity(&clamped, 10000, false), 10000 - 100 - 500, "no kerf given back");
    struct kerf_account account = kerf_settle(&clamped, 10000, false, 9400 - 2 * 22, 2);
    cr_assert_eq(account.cuts, 2, "two cuts");
    cr_assert_eq(account.remainder, 500, "what the clamp held remains");
}

Test(kerf, squared_end_needs_no_trim) {
    struct kerf_account account = kerf_settle(&plain, 18745, true, 18300, 1);
    cr_assert_eq(account.trim, 0, "no trim");
    cr_assert_eq(account.remainder, 18745 - 18300 - 22, "the rest");
}

Test(kerf, every_length_balances) {
    for (ell_length sum = 1; sum <= 9878; sum += 7) {
        balance(&plain, 10000, false, sum, 2);
        balance(&plain, 10000, true, sum, 2);
    }
    for (ell_length sum = 1; sum <= 9356; sum += 7)
        balance(&clamped, 10000, false, sum, 2);
    struct cutting_saw no_kerf = {.lead_trim = 0};
    balance(&no_kerf, 10000, false, 10000, 4);
    cr_assert_eq(kerf_settle(&no_kerf, 10000, false, 10000, 4).cuts, 3, "flush without kerf");
}
