/* Printing on a real scheduler and a real IPP printer program, which is made to misbehave. Run by deploy/with-services.
 * SPDX-License-Identifier: Apache-2.0 */
#include "label/label.h"
#include "print/print.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static const struct print_server server = {.name = "", .patience = 3000};
static const char *queue;
static char printer[256];
static struct label_pdf pdf;
static char name[PRINT_NAME];

static double now(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec + (double)at.tv_nsec / 1e9;
}

static void run(const char *command) {
    char line[512];
    snprintf(line, sizeof line, "bash -c '. \"$ELLWAND_SERVICES\" && %s' >/dev/null", command);
    cr_assert_eq(system(line), 0, "failed: %s", command); // NOLINT(cert-env33-c): the test's own commands
}

/* Text into the file that steers the printer program; NULL takes it away. */
static void behave(const char *text) {
    char path[300];
    snprintf(path, sizeof path, "%s/ctl/behave", printer);
    if (text == NULL) {
        unlink(path);
        return;
    }
    FILE *file = fopen(path, "w");
    cr_assert_not_null(file);
    fputs(text, file);
    fclose(file);
}

static void set_up(void) {
    static const struct label_stock stock = {
        .code = "100x50", .width = 1000, .height = 500, .dots_per_inch = 300};
    static int number;
    const char *directory = getenv("ELLWAND_TEST_PRINTER_DIR");
    struct fault fault;
    queue = getenv("ELLWAND_TEST_QUEUE");
    cr_assert(queue != NULL && directory != NULL, "run this by deploy/with-services");
    snprintf(printer, sizeof printer, "%s", directory);
    snprintf(name, sizeof name, "print-%ld-%d", (long)getpid(), ++number);
    json_t *label = json_pack("{s:s, s:s, s:s}", "code", "L5I", "name", "A-11", "note", name);
    cr_assert(label_render("bin", &stock, label, &pdf, &fault), "%s", fault.message);
    json_decref(label);
    behave(NULL);
    /* Whatever the test before left behind. */
    run("printer_answers $(cat $SERVICES_DIR/printer/port) || printer_start; cups_answers || cups_start; "
        "cancel -a labels");
    run("for i in $(seq 100); do lpstat -p labels | grep -q idle && break; sleep 0.1; done");
    cr_assert(print_clear_doubt(&server, queue, &fault), "%s", fault.message);
}

static void tear_down(void) {
    behave(NULL);
    label_pdf_free(&pdf);
}

TestSuite(print, .init = set_up, .fini = tear_down, .timeout = 60);

static int submit(ell_length width, ell_length height) {
    struct print_job job = {queue, name, width, height, pdf.bytes, pdf.count};
    struct fault fault;
    int id = 0;
    cr_assert(print_submit(&server, &job, &id, &fault), "%s: %s", fault.code, fault.message);
    cr_assert_gt(id, 0);
    return id;
}

static struct print_status follow(int id) {
    struct print_status status;
    struct fault fault;
    cr_assert(print_follow(&server, queue, id, &status, &fault), "%s: %s", fault.code, fault.message);
    cr_assert_str_eq(status.name, name);
    return status;
}

/* Follows until the state is `wanted`, at most `seconds`; returns how long it took. */
static double await(int id, enum print_state wanted, double seconds) {
    double began = now();
    struct print_status status = follow(id);
    while (status.state != wanted && now() - began < seconds) {
        usleep(50000);
        status = follow(id);
    }
    cr_assert_eq(status.state, wanted, "%s after %g s instead of %s (%s; %s)", print_state_name(status.state),
                 seconds, print_state_name(wanted), status.words, status.reasons);
    return now() - began;
}

/* How many printed documents have the bytes of this test's label. */
static int printed(void) {
    char path[600];
    int found = 0;
    snprintf(path, sizeof path, "%s/out", printer);
    DIR *directory = opendir(path);
    cr_assert_not_null(directory);
    for (struct dirent *entry; (entry = readdir(directory)) != NULL;) {
        if (strstr(entry->d_name, ".prn") == NULL)
            continue;
        snprintf(path, sizeof path, "%s/out/%s", printer, entry->d_name);
        FILE *file = fopen(path, "rb");
        unsigned char *bytes = malloc(pdf.count + 1);
        cr_assert(file != NULL && bytes != NULL);
        found +=
            fread(bytes, 1, pdf.count + 1, file) == pdf.count && memcmp(bytes, pdf.bytes, pdf.count) == 0;
        free(bytes);
        fclose(file);
    }
    closedir(directory);
    return found;
}

static bool attributes_hold(const char *text) {
    char command[900];
    snprintf(command, sizeof command, "grep -q '%s' %s/out/*.env", text, printer);
    return system(command) == 0; // NOLINT(cert-env33-c): the test's own commands
}

Test(print, arrives_whole_and_at_its_exact_size) {
    int id = submit(1000, 500);
    await(id, PRINT_DONE, 15);
    cr_assert_eq(printed(), 1);
    cr_assert(attributes_hold("x-dimension=10000 y-dimension=5000"), "the size is not 100.00 x 50.00 mm");
}

Test(print, is_found_by_its_own_name) {
    struct fault fault;
    int found = -1;
    cr_assert(print_find(&server, queue, name, &found, &fault), "%s", fault.message);
    cr_assert_eq(found, 0, "found before it was there");
    int id = submit(1000, 500);
    cr_assert(print_find(&server, queue, name, &found, &fault), "%s", fault.message);
    cr_assert_eq(found, id);
    await(id, PRINT_DONE, 15);
    cr_assert(print_find(&server, queue, name, &found, &fault), "%s", fault.message);
    cr_assert_eq(found, id, "forgotten once printed");
}

Test(print, out_of_labels_is_told_and_goes_on) {
    behave("STATE=media-empty-error\n");
    int id = submit(1000, 500);
    await(id, PRINT_STOPPED, 4);
    struct print_status status = follow(id);
    cr_assert(strstr(status.words, "out of labels"), "%s", status.words);
    cr_assert(strstr(status.reasons, "media-empty"), "%s", status.reasons);
    behave(NULL);
    await(id, PRINT_DONE, 20);
    cr_assert_eq(printed(), 1);
}

Test(print, an_open_cover_is_told) {
    behave("STATE=cover-open-error\n");
    int id = submit(1000, 500);
    await(id, PRINT_STOPPED, 4);
    cr_assert(strstr(follow(id).words, "cover is open"), "%s", follow(id).words);
    behave(NULL);
    await(id, PRINT_DONE, 20);
}

Test(print, a_failed_print_is_refused_not_done) {
    behave("FAIL=1\n");
    int id = submit(1000, 500);
    await(id, PRINT_REFUSED, 15);
    cr_assert_neq(follow(id).words[0], '\0', "no word of what to do");
}

Test(print, a_slow_print_is_printing) {
    behave("DELAY=3\n");
    int id = submit(1000, 500);
    await(id, PRINT_PRINTING, 4);
    behave(NULL);
    await(id, PRINT_DONE, 20);
}

Test(print, a_printer_that_is_away_is_told_and_catches_up) {
    run("printer_stop");
    int id = submit(1000, 500);
    await(id, PRINT_STOPPED, 5);
    cr_assert(strstr(follow(id).words, "cannot be reached"), "%s", follow(id).words);
    run("printer_start");
    await(id, PRINT_DONE, 40);
    cr_assert_eq(printed(), 1);
}

Test(print, a_printer_killed_in_the_middle_leaves_it_unknown) {
    struct fault fault;
    behave("DELAY=5\n");
    int id = submit(1000, 500);
    await(id, PRINT_PRINTING, 5);
    run("printer_kill");
    behave(NULL);
    run("printer_start");
    await(id, PRINT_UNKNOWN, 30);
    /* The next job must not inherit the doubt. */
    cr_assert(print_clear_doubt(&server, queue, &fault), "%s: %s", fault.code, fault.message);
    snprintf(name + strlen(name), sizeof name - strlen(name), "-next");
    id = submit(1000, 500);
    await(id, PRINT_DONE, 20);
}

Test(print, cancelling_is_told_from_a_refusal) {
    struct fault fault;
    behave("DELAY=20\n");
    int id = submit(1000, 500);
    await(id, PRINT_PRINTING, 5);
    cr_assert(print_cancel(&server, queue, id, &fault), "%s", fault.message);
    await(id, PRINT_CANCELLED, 5);
    cr_assert(print_cancel(&server, queue, id, &fault), "twice is once: %s", fault.message);
    behave(NULL);
    /* The printer program goes on with what it has; a new one is ready at once. */
    run("printer_kill");
    run("printer_start");
}

Test(print, a_paused_queue_is_told) {
    struct print_queue state;
    struct fault fault;
    run("cupsdisable labels");
    int id = submit(1000, 500);
    await(id, PRINT_STOPPED, 3);
    cr_assert(print_queue_read(&server, queue, &state, &fault), "%s", fault.message);
    cr_assert_eq(state.state, QUEUE_STOPPED);
    cr_assert(strstr(state.words, "paused"), "%s", state.words);
    run("cupsenable labels");
    await(id, PRINT_DONE, 20);
}

Test(print, a_refusing_queue_is_a_fault) {
    struct print_job job = {queue, name, 1000, 500, pdf.bytes, pdf.count};
    struct print_queue state;
    struct fault fault;
    int id = 0;
    run("cupsreject labels");
    bool taken = print_submit(&server, &job, &id, &fault);
    bool read = print_queue_read(&server, queue, &state, &fault);
    run("cupsaccept labels");
    cr_assert(read);
    cr_assert_eq(state.state, QUEUE_REFUSING);
    cr_assert_not(taken);
    cr_assert_not(
        print_submit(&server, &(struct print_job){"nowhere", name, 0, 0, pdf.bytes, pdf.count}, &id, &fault));
    cr_assert_str_eq(fault.code, "no-queue");
    cr_assert_not(print_follow(&server, queue, 99999, &(struct print_status){.name = ""}, &fault));
    cr_assert_str_eq(fault.code, "no-job");
    cr_assert_not(print_cancel(&server, queue, 99999, &fault));
    cr_assert_str_eq(fault.code, "no-job");
    cr_assert_eq(id, 0);
}

Test(print, a_held_job_is_held) {
    char command[128];
    run("cupsdisable labels");
    int id = submit(1000, 500);
    snprintf(command, sizeof command, "lp -i %s-%d -H hold", queue, id);
    run(command);
    run("cupsenable labels");
    await(id, PRINT_HELD, 3);
    snprintf(command, sizeof command, "lp -i %s-%d -H resume", queue, id);
    run(command);
    await(id, PRINT_DONE, 20);
}

Test(print, no_scheduler_is_a_fault_within_patience) {
    struct print_status status;
    struct fault fault;
    int id = submit(1000, 500);
    await(id, PRINT_DONE, 15);
    run("cups_stop");
    double began = now();
    bool answered = print_follow(&server, queue, id, &status, &fault);
    double took = now() - began;
    run("cups_start");
    cr_assert_not(answered);
    cr_assert_str_eq(fault.code, "print-unreachable");
    cr_assert_lt(took, 4.0);
    cr_assert_eq(follow(id).state, PRINT_DONE, "forgotten over a restart");
}

/* Accepted, the scheduler killed before it could print, started again: printed once. */
Test(print, an_accepted_job_outlives_a_killed_scheduler) {
    struct fault fault;
    int found = 0;
    run("printer_stop");
    int id = submit(1000, 500);
    run("cups_kill");
    run("cups_start");
    cr_assert(print_find(&server, queue, name, &found, &fault), "%s", fault.message);
    cr_assert_eq(found, id, "the job was lost");
    run("printer_start");
    await(id, PRINT_DONE, 40);
    cr_assert_eq(printed(), 1);
}

Test(print, queues_tell_what_they_can) {
    struct print_queue *queues = NULL, one;
    struct fault fault;
    size_t count = 0;
    cr_assert(print_queue_list(&server, &queues, &count, &fault), "%s", fault.message);
    cr_assert_eq(count, 1);
    cr_assert(print_queue_read(&server, queue, &one, &fault), "%s", fault.message);
    cr_assert_str_eq(queues[0].name, queue);
    cr_assert_str_eq(one.name, queue);
    cr_assert(one.takes_pdf);
    cr_assert_eq(one.dots_per_inch, 300);
    cr_assert_eq(one.state, QUEUE_READY, "%s", one.words);
    cr_assert_gt(one.loaded_count, 0);
    cr_assert_eq(one.printer, PRINTER_ANSWERS);
    cr_assert_not(one.printer_stops);
    cr_assert_eq(print_queue_loaded(&one, 1000, 500), PRINT_FITS);
    cr_assert_eq(print_queue_loaded(&one, 2970, 4200), PRINT_FITS_NOT, "A3 is loaded in a label printer");
    cr_assert_gt(one.size_count, 0);
    cr_assert_eq(print_queue_takes(&one, 620, 290), PRINT_FITS);
    cr_assert_eq(print_queue_takes(&one, 4200, 5940), PRINT_FITS_NOT, "A2 in a label printer");
    cr_assert_eq(one.resolution_count, 1);
    cr_assert_eq(one.resolutions[0], 300);
    free(queues);
}
