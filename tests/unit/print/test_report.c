/* What a scheduler reports, and the one state that a person is told. The reports are those that CUPS 2.4.2 and its IPP
 * printer program were seen to give; the states are numbered by RFC 8011 (job-state 5.3.7, printer-state 5.4.11).
 * SPDX-License-Identifier: Apache-2.0 */
#include "print/report.h"
#include "print/words.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

enum { PENDING = 3, HELD, PROCESSING, STOPPED, CANCELED, ABORTED, COMPLETED };
enum { IDLE = 3, BUSY, HALTED };

Test(report, every_situation_has_its_state) {
    static const struct {
        const char *what;
        struct report report;
        const char *reasons;
        enum print_state state;
        const char *words; /* part of them */
    } cases[] = {
        {"just sent", {HELD, "job-incoming", "", IDLE, "", ""}, "", PRINT_SENDING, ""},
        {"printing",
         {PROCESSING, "job-printing", "", BUSY, "Printing.", ""},
         "cups-waiting-for-job-completed",
         PRINT_PRINTING,
         ""},
        {"getting through",
         {PROCESSING, "job-printing", "", BUSY, "Connected to printer.", ""},
         "",
         PRINT_SENDING,
         ""},
        {"behind another", {PENDING, "none", "", BUSY, "", ""}, "", PRINT_WAITING, ""},
        {"printer away",
         {PROCESSING, "job-printing", "", BUSY, "The printer may not exist or is unavailable at this time.",
          ""},
         "",
         PRINT_STOPPED,
         "cannot be reached"},
        {"out of labels",
         {PROCESSING, "job-printing", "", BUSY, "", ""},
         "media-empty-error,media-needed-warning",
         PRINT_STOPPED,
         "out of labels"},
        {"cover open",
         {PROCESSING, "job-printing", "", BUSY, "", ""},
         "cover-open-error",
         PRINT_STOPPED,
         "cover is open"},
        {"queue paused", {PENDING, "none", "", HALTED, "", ""}, "paused", PRINT_STOPPED, "paused"},
        {"held by hand", {HELD, "job-hold-until-specified", "", IDLE, "", ""}, "", PRINT_HELD, "resume"},
        {"wants a password",
         {HELD, "cups-held-for-authentication", "", IDLE, "", ""},
         "",
         PRINT_HELD,
         "password"},
        {"printed", {COMPLETED, "job-completed-successfully", "", IDLE, "", ""}, "", PRINT_DONE, ""},
        {"low, but printed",
         {COMPLETED, "job-completed-successfully", "", IDLE, "", ""},
         "media-low-report",
         PRINT_DONE,
         ""},
        {"printer restarted",
         {COMPLETED, "processing-to-stop-point", "", IDLE, "", ""},
         "cups-ipp-conformance-failure-report,cups-ipp-missing-job-history",
         PRINT_UNKNOWN,
         "Look"},
        {"no document taken",
         {COMPLETED, "processing-to-stop-point", "Unable to add document to print job.", IDLE, "", ""},
         "",
         PRINT_REFUSED,
         "takes no PDF"},
        {"printer gave it up",
         {CANCELED, "job-canceled-by-user", "Print job canceled at printer.", IDLE, "", ""},
         "",
         PRINT_REFUSED,
         "gave the job up"},
        {"deleted", {CANCELED, "job-canceled-by-user", "", IDLE, "", ""}, "", PRINT_CANCELLED, "deleted"},
        {"filter failed", {ABORTED, "aborted-by-system", "", IDLE, "", ""}, "", PRINT_REFUSED, "error log"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct print_status status = {.state = PRINT_WAITING};
        snprintf(status.reasons, sizeof status.reasons, "%s", cases[i].reasons);
        report_settle(&cases[i].report, &status);
        cr_assert_eq(status.state, cases[i].state, "%s: %s", cases[i].what, print_state_name(status.state));
        cr_assert_not_null(strstr(status.words, cases[i].words), "%s: \"%s\"", cases[i].what, status.words);
        cr_assert(cases[i].words[0] != '\0' || status.words[0] == '\0', "%s: \"%s\"", cases[i].what,
                  status.words);
    }
}

Test(report, only_what_is_over_is_over) {
    cr_assert(print_state_over(PRINT_DONE));
    cr_assert(print_state_over(PRINT_UNKNOWN));
    cr_assert_not(print_state_over(PRINT_STOPPED));
    cr_assert_not(print_state_over(PRINT_HELD));
}

Test(report, keywords_are_whole_words) {
    cr_assert(words_has_reason("media-empty", "media-empty"));
    cr_assert(words_has_reason("paused,media-empty-warning", "media-empty"));
    cr_assert_not(words_has_reason("media-emptying-error", "media-empty"));
    cr_assert_not(words_has_reason("marker-media-empty-error", "media-empty"));
    cr_assert_not(words_has_reason("", "media-empty"));
}

Test(report, the_gravest_reason_speaks) {
    bool stops = false;
    cr_assert(strstr(words_for_reasons("media-low-report,door-open-error", &stops), "door"));
    cr_assert(stops);
    cr_assert(strstr(words_for_reasons("toner-low-report", &stops), "nearly"));
    cr_assert_not(stops);
    cr_assert_null(words_for_reasons("com.example-purring", &stops));
}

Test(report, loaded_media_are_compared_either_way_up) {
    struct print_queue queue = {.loaded_count = 2, .loaded = {{1000, 500}, {620, 290}}};
    cr_assert_eq(print_queue_loaded(&queue, 1000, 500), PRINT_FITS);
    cr_assert_eq(print_queue_loaded(&queue, 290, 620), PRINT_FITS_TURNED);
    cr_assert_eq(print_queue_loaded(&queue, 1005, 495), PRINT_FITS, "half a millimetre is no other stock");
    cr_assert_eq(print_queue_loaded(&queue, 890, 360), PRINT_FITS_NOT);
    queue.loaded_count = 0;
    cr_assert_eq(print_queue_loaded(&queue, 890, 360), PRINT_FITS, "a printer that does not tell is trusted");
}

Test(report, a_queue_takes_what_it_lists_and_what_is_within_its_bounds) {
    struct print_queue queue = {.size_count = 1, .sizes = {{620, 1000}}};
    cr_assert_eq(print_queue_takes(&queue, 620, 1000), PRINT_FITS);
    cr_assert_eq(print_queue_takes(&queue, 1000, 620), PRINT_FITS_TURNED);
    cr_assert_eq(print_queue_takes(&queue, 500, 300), PRINT_FITS_NOT);
    queue.least = (struct print_size){200, 100};
    queue.most = (struct print_size){600, 3000};
    cr_assert_eq(print_queue_takes(&queue, 500, 300), PRINT_FITS);
    cr_assert_eq(print_queue_takes(&queue, 1200, 300), PRINT_FITS_TURNED);
    cr_assert_eq(print_queue_takes(&queue, 700, 3500), PRINT_FITS_NOT);
    queue = (struct print_queue){.size_count = 0};
    cr_assert_eq(print_queue_takes(&queue, 9, 9), PRINT_FITS, "a queue that does not tell is trusted");
}

Test(report, media_names_follow_the_standard) {
    char text[64]; /* PWG 5101.1, from memory */
    cr_assert_str_eq(print_media_name(1000, 500, text), "custom_label_100x50mm");
    cr_assert_str_eq(print_media_name(625, 290, text), "custom_label_62.5x29mm");
    cr_assert_str_eq(print_media_name(2100, 2970, text), "iso_a4_210x297mm");
}
