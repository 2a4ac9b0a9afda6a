/* SPDX-License-Identifier: Apache-2.0 */
#include <ellwand/version.h>

const char *ell_version(void) {
    return ELL_VERSION;
}
