/* Inside the room: from what the scheduler says about a job and its printer to one state in plain words.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PRINT_REPORT_H
#define ELLWAND_PRINT_REPORT_H

#include "print/print.h"

/* States as RFC 8011 numbers them; reasons are keywords with a comma between them. */
struct report {
    int job_state;
    char job_reasons[PRINT_WORDS], job_message[PRINT_WORDS];
    int printer_state;
    char printer_message[PRINT_WORDS];
    char device[1024]; /* the printer's address */
};

/* Sets state and words. */
void report_say(struct print_status *status, enum print_state state, const char *words);

/* Sets status->state and status->words from the report and from status->reasons, the printer's own. */
void report_settle(const struct report *report, struct print_status *status);

/* True when a scheduler's message on a printer says that it cannot get through to it: the ipp backend tells that only in words. */
bool report_out_of_reach(const char *message);

#define REPORT_NOT_TAKEN                                                                                     \
    "The printer gave the document back; perhaps it takes no PDF. Use another printer or queue."
#define REPORT_OUT_OF_REACH "The printer cannot be reached. Switch it on and check its cable or network."

#endif
