/* How a take-off is shown. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_TAKEOFF_VIEW_H
#define ELLWAND_CLIENT_TAKEOFF_VIEW_H

#include "screen.h"

/* A take-off document (takeoff/takeoff.h) of one window. */
void takeoff_view(const struct screen *screen, const json_t *takeoff);

#endif
