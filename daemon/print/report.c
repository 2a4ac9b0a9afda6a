/* SPDX-License-Identifier: Apache-2.0 */
#include "print/report.h"

#include "common/text.h"
#include "print/words.h"

#include <cups/ipp.h>
#include <string.h>

void report_say(struct print_status *status, enum print_state state, const char *words) {
    status->state = state;
    text_copy(status->words, sizeof status->words, words);
}

static void settle_ended(const struct report *report, struct print_status *status) {
    bool lost = words_has_reason(status->reasons, "cups-ipp-missing-job-history");
    bool at_printer = strstr(report->job_message, "at printer") != NULL ||
                      words_has_reason(report->job_reasons, "job-canceled-at-device");
    if (report->job_state == IPP_JSTATE_COMPLETED && lost)
        report_say(
            status, PRINT_UNKNOWN,
            "The printer was restarted or lost track of the job. Look whether it is printed before printing "
            "it again.");
    /* "Unable to add document to print job.": CUPS 2.4 calls that completed. */
    else if (report->job_state == IPP_JSTATE_COMPLETED && strncmp(report->job_message, "Unable to ", 10) == 0)
        report_say(status, PRINT_REFUSED, REPORT_NOT_TAKEN);
    else if (report->job_state == IPP_JSTATE_COMPLETED)
        report_say(status, PRINT_DONE, "");
    else if (report->job_state == IPP_JSTATE_ABORTED)
        report_say(status, PRINT_REFUSED, "CUPS gave the job up. See its error log, then print it again.");
    else if (at_printer)
        report_say(status, PRINT_REFUSED,
                   "The printer gave the job up. Check the loaded stock and its size, then print it again.");
    else
        report_say(status, PRINT_CANCELLED, "Somebody deleted the job.");
}

static void settle_held(const struct report *report, struct print_status *status) {
    if (words_has_reason(report->job_reasons, "job-incoming") ||
        words_has_reason(report->job_reasons, "job-data-insufficient"))
        report_say(status, PRINT_SENDING, "");
    else if (strstr(report->job_reasons, "authentication") != NULL ||
             strstr(report->job_reasons, "password") != NULL)
        report_say(
            status, PRINT_HELD,
            "The job waits for a password. Give it at the printer, or let the queue print without one.");
    else
        report_say(status, PRINT_HELD, "The job is held. `lp -H resume` lets it go on.");
}

bool report_out_of_reach(const char *message) {
    return strstr(message, "may not exist or is unavailable") != NULL ||
           strstr(message, "not responding") != NULL || strstr(message, "Unable to locate") != NULL ||
           strstr(message, "unreachable") != NULL;
}

static void settle_running(const struct report *report, struct print_status *status) {
    bool stops;
    const char *words = words_for_reasons(status->reasons, &stops);
    if (stops || report->job_state == IPP_JSTATE_STOPPED || report->printer_state == IPP_PSTATE_STOPPED)
        report_say(status, PRINT_STOPPED, words != NULL ? words : report->printer_message);
    else if (report_out_of_reach(report->printer_message))
        report_say(status, PRINT_STOPPED, REPORT_OUT_OF_REACH);
    else if (report->job_state == IPP_JSTATE_PENDING)
        report_say(status, PRINT_WAITING, "");
    else if (words_has_reason(status->reasons, "cups-waiting-for-job-completed"))
        report_say(status, PRINT_PRINTING, words != NULL ? words : "");
    else
        report_say(status, PRINT_SENDING, words != NULL ? words : "");
}

void report_settle(const struct report *report, struct print_status *status) {
    if (report->job_state >= IPP_JSTATE_CANCELED)
        settle_ended(report, status);
    else if (report->job_state == IPP_JSTATE_HELD)
        settle_held(report, status);
    else
        settle_running(report, status);
}
