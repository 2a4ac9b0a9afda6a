/* Labels a second of processor time on one core: piece labels in jobs of 1 and of 200, kit labels in jobs of 20. A JSON line
 * each. SPDX-License-Identifier: Apache-2.0 */
#include "label/label.h"
#include "label/code.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

static json_t *make_piece(int id) {
    char code[CODE_TEXT];
    return json_pack("{s:s, s:s, s:s, s:s, s:f, s:i, s:i, s:s, s:s, s:s, s:s, s:s, s:i, s:s, s:s}", "code",
                     code_write(CODE_PIECE, id, code), "order", "A1001", "window", "W1", "room", "Kitchen",
                     "length", 1000.5 + id % 2000, "piece", 1, "of", 2, "side", "left", "system", "Corded 20",
                     "finish", "white", "batch", "B0412", "saw", "S1", "sequence", id % 300 + 1, "due",
                     "2026-12-04", "join_end", "right");
}

static json_t *make_kit(int id) {
    char code[CODE_TEXT];
    json_t *parts = json_array();
    for (int i = 0; i < 12; i++)
        json_array_append_new(parts, json_pack("{s:s, s:i, s:s}", "name", "mounting bracket", "quantity",
                                               i + id % 9 + 1, "bin", "A-01"));
    return json_pack("{s:s, s:s, s:s, s:s, s:b, s:o}", "code", code_write(CODE_KIT, id, code), "order",
                     "A1001", "window", "W1", "system", "Corded 20", "corded", 1, "parts", parts);
}

/* Processor time, so that others on the machine do not count. */
static double now(void) {
    struct timespec at;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &at);
    return (double)at.tv_sec + (double)at.tv_nsec / 1e9;
}

/* Renders jobs of `size` labels for about `seconds`. */
static bool measure(const char *kind, json_t *(*make)(int), int size, double seconds) {
    static const struct label_stock stock = {
        .code = "100x50", .width = 1000, .height = 500, .dots_per_inch = 203};
    struct fault fault;
    struct rusage usage;
    size_t bytes = 0;
    int id = 1, labels = 0;
    double began = now(), worst = 0;
    while (now() - began < seconds) {
        json_t *job = json_array();
        struct label_pdf pdf;
        for (int i = 0; i < size; i++)
            json_array_append_new(job, make(id++));
        double start = now();
        if (!label_render(kind, &stock, job, &pdf, &fault)) {
            fprintf(stderr, "%s %s: %s\n", fault.code, fault.where, fault.message);
            json_decref(job);
            return false;
        }
        worst = now() - start > worst ? now() - start : worst;
        bytes += pdf.count;
        labels += size;
        label_pdf_free(&pdf);
        json_decref(job);
    }
    getrusage(RUSAGE_SELF, &usage);
    printf("{\"kind\":\"%s\",\"labels_per_job\":%d,\"labels_per_second\":%.0f,\"worst_job_ms\":%.1f,"
           "\"bytes_per_label\":%zu,\"peak_kib\":%ld}\n",
           kind, size, labels / (now() - began), worst * 1000, labels > 0 ? bytes / (size_t)labels : 0,
           usage.ru_maxrss);
    return true;
}

int main(int count, char **arguments) {
    double seconds = count > 1 ? strtod(arguments[1], NULL) : 2;
    bool good = measure("piece", make_piece, 1, seconds) && measure("piece", make_piece, 200, seconds) &&
                measure("kit", make_kit, 20, seconds);
    return good ? 0 : 1;
}
