/* Inside the room: what the printer itself says, past the scheduler. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PRINT_DEVICE_H
#define ELLWAND_PRINT_DEVICE_H

#include "print/print.h"

/* What a printer remembers of the jobs of one name. */
struct device_job {
    int state;     /* of the newest (IPP_JSTATE_COMPLETED, ..); 0 when there is none */
    int pages;     /* how many of its pages came out, as the printer counts; 0 when it does not */
    int completed; /* how many of them it printed to the end: more than one when the scheduler sent it again */
};

/* Asks the printer with this address for its jobs of this name: those that are over, or else those that are not. False when it does not answer or is no IPP
 * printer. */
bool device_job_find(const char *uri, const char *name, int patience, struct device_job *job);

/* Adds to a queue what its printer says of itself: what is loaded, its state, and whether it answers at all. */
void device_ask(const char *uri, int patience, struct print_queue *queue);

#endif
