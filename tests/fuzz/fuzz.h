/* SPDX-License-Identifier: Apache-2.0 */
#ifndef FUZZ_FUZZ_H
#define FUZZ_FUZZ_H

#include <stddef.h>
#include <stdint.h>

/*
 * One input to whatever the fuzzer tries; `data` holds `size` bytes and need not end in a zero byte. Returns
 * 0. Fails by a sanitizer's report or by abort(). The name is libFuzzer's.
 */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#endif
