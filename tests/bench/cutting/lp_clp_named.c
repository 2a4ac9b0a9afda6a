/* The engine's own use of CLP, under names of its own. SPDX-License-Identifier: Apache-2.0 */
#include "lp_names.h"

#include "cutting/lp_clp.c" /* NOLINT(bugprone-suspicious-include): the very code that is compared */
