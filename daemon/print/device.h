/* Inside the room: what the printer itself says, past the scheduler. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PRINT_DEVICE_H
#define ELLWAND_PRINT_DEVICE_H

/* The state (IPP_JSTATE_COMPLETED, ..) of the newest finished job of this name at the printer with this address; 0 when it
 * does not answer, is no IPP printer, or has none. */
int device_job_state(const char *uri, const char *name, int patience);

#endif
