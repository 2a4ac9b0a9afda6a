/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/kerf.h"

ell_length kerf_usable(const struct cutting_saw *saw, ell_length bar, bool squared) {
    return squared ? bar : bar - saw->lead_trim;
}

ell_length kerf_capacity(const struct cutting_saw *saw, ell_length bar, bool squared) {
    ell_length usable = kerf_usable(saw, bar, squared);
    return saw->tail_clamp > 0 ? usable - saw->tail_clamp : usable + saw->kerf;
}

struct kerf_account kerf_settle(const struct cutting_saw *saw, ell_length bar, bool squared, ell_length sum,
                                int64_t pieces) {
    ell_length after_pieces = kerf_usable(saw, bar, squared) - sum;
    ell_length all_kerfs = pieces * saw->kerf;
    struct kerf_account account = {.trim = squared ? 0 : saw->lead_trim, .cuts = pieces};
    if (after_pieces >= all_kerfs) {
        account.dust = all_kerfs;
        account.remainder = after_pieces - all_kerfs;
        if (account.remainder == 0 && saw->kerf == 0 && pieces > 0)
            account.cuts = pieces - 1;
    } else {
        account.dust = after_pieces;
        if (after_pieces == (pieces - 1) * saw->kerf)
            account.cuts = pieces - 1;
    }
    return account;
}
