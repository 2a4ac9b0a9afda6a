/* takeoff [SECONDS]: take-offs a second on one core, of the demonstration's orders and of random windows,
 * with and without reading the survey and writing the document. A JSON line each.
 * SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/takeoff.h"
#include "demo.h"
#include "surveys.h"
#include "takeoff/order_file.h"

#include <glob.h>
#include <sys/resource.h>
#include <time.h>

enum { WINDOWS_MOST = 4000, TIMES_MOST = 2000000 };

static struct survey surveys[WINDOWS_MOST];
static json_t *documents[WINDOWS_MOST];
static float times[TIMES_MOST];

/* Seconds of this thread on its core, so that a busy machine does not count. */
static double now(void) {
    struct timespec at;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &at);
    return (double)at.tv_sec + (double)at.tv_nsec / 1e9;
}

/* The demonstration's windows; how many. */
static size_t load_demo(void) {
    glob_t files;
    size_t count = 0;
    struct fault fault;
    if (glob(ELLWAND_SOURCE_DIR "/sql/demo/orders/*.json", 0, NULL, &files) != 0)
        return 0;
    for (size_t i = 0; i < files.gl_pathc; i++) {
        json_t *order = document_read_file(files.gl_pathv[i], &document_small, &fault);
        size_t index;
        json_t *window;
        json_array_foreach(json_object_get(order, "windows"), index, window) {
            if (survey_read(window, "", &surveys[count], &fault))
                documents[count++] = json_incref(window);
        }
        json_decref(order);
    }
    globfree(&files);
    return count;
}

static size_t load_random(void) {
    struct dice dice = {1};
    for (size_t i = 0; i < WINDOWS_MOST; i++)
        roll_survey(&dice, &surveys[i]);
    return WINDOWS_MOST;
}

static bool work(const struct catalogue *catalogue, size_t at, bool whole) {
    struct fault fault;
    struct takeoff *takeoff = NULL;
    struct survey survey;
    if (whole && !survey_read(documents[at], "", &survey, &fault))
        return false;
    if (!takeoff_compute(whole ? &survey : &surveys[at], catalogue, &takeoff, &fault))
        return false;
    if (whole)
        json_decref(takeoff_document(takeoff));
    takeoff_free(takeoff);
    return true;
}

static int by_size(const void *a, const void *b) {
    float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

static void measure(const char *name, const struct catalogue *catalogue, size_t windows, bool whole,
                    double seconds) {
    size_t done = 0, taken = 0;
    double began = now(), last = began;
    while (last - began < seconds && done < TIMES_MOST) {
        taken += work(catalogue, done % windows, whole);
        double after = now();
        times[done++] = (float)(after - last);
        last = after;
    }
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    qsort(times, done, sizeof *times, by_size);
    printf("{\"windows\":\"%s\",\"from\":\"%s\",\"count\":%zu,\"taken\":%zu,\"per_second\":%.0f,\"median_"
           "us\":%.1f,"
           "\"p99_us\":%.1f,\"worst_us\":%.1f,\"bytes_each\":%zu,\"peak_kib\":%ld}\n",
           name, whole ? "survey document to take-off document" : "survey to take-off", done, taken,
           (double)done / (last - began), (double)times[done / 2] * 1e6, (double)times[done * 99 / 100] * 1e6,
           (double)times[done - 1] * 1e6, sizeof(struct takeoff), usage.ru_maxrss);
}

int main(int count, char **arguments) {
    double seconds = count > 1 ? strtod(arguments[1], NULL) : 2;
    struct catalogue *catalogue = demo_catalogue();
    size_t windows = load_demo();
    if (windows == 0) {
        fprintf(stderr, "The demonstration's orders were not found.\n");
        return 1;
    }
    measure("demonstration", catalogue, windows, false, seconds);
    measure("demonstration", catalogue, windows, true, seconds);
    measure("random", catalogue, load_random(), false, seconds);
    for (size_t i = 0; i < windows; i++)
        json_decref(documents[i]);
    catalogue_free(catalogue);
    return 0;
}
