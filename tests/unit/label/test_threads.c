/* Several threads render at once, and each gets the bytes that one alone gets. SPDX-License-Identifier: Apache-2.0 */
#include "label/sheet.h"
#include "samples.h"

#include <pthread.h>
#include <string.h>

enum { THREADS = 4, ROUNDS = 6 };

struct work {
    const json_t *labels, *sheet;
    const struct label_pdf *label_alone, *sheet_alone;
    unsigned same; /* of 2 * ROUNDS */
};

static const struct label_stock stock = {.code = "62x29", .width = 620, .height = 290, .dots_per_inch = 203};

static bool equal(const struct label_pdf *one, const struct label_pdf *other) {
    return one->count == other->count && memcmp(one->bytes, other->bytes, one->count) == 0;
}

static void *labour(void *data) {
    struct work *work = data;
    struct fault fault;
    for (int i = 0; i < ROUNDS; i++) {
        struct label_pdf label, sheet;
        if (label_render("kit", &stock, work->labels, &label, &fault)) {
            work->same += equal(&label, work->label_alone);
            label_pdf_free(&label);
        }
        if (sheet_render("cut-sheet", work->sheet, &sheet, &fault)) {
            work->same += equal(&sheet, work->sheet_alone);
            label_pdf_free(&sheet);
        }
    }
    return NULL;
}

Test(threads, render_the_same_side_by_side) {
    json_t *labels = sample_read("kit"), *sheet = sample_read("cut-sheet");
    struct label_pdf label_alone, sheet_alone;
    struct fault fault;
    cr_assert(label_render("kit", &stock, labels, &label_alone, &fault), "%s", fault.message);
    cr_assert(sheet_render("cut-sheet", sheet, &sheet_alone, &fault), "%s", fault.message);
    struct work work[THREADS];
    pthread_t threads[THREADS];
    for (int i = 0; i < THREADS; i++) {
        work[i] = (struct work){labels, sheet, &label_alone, &sheet_alone, 0};
        cr_assert_eq(pthread_create(&threads[i], NULL, labour, &work[i]), 0);
    }
    for (int i = 0; i < THREADS; i++) {
        pthread_join(threads[i], NULL);
        cr_assert_eq(work[i].same, 2 * ROUNDS, "thread %d: %u of %d", i, work[i].same, 2 * ROUNDS);
    }
    label_pdf_free(&label_alone);
    label_pdf_free(&sheet_alone);
    json_decref(labels);
    json_decref(sheet);
}
