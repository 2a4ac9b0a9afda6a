/* Plots and CSV. SPDX-License-Identifier: Apache-2.0 */
#include "csv_print.h"
#include "plot/canvas.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#if defined(__SANITIZE_ADDRESS__)
/* Fontconfig keeps its tables for the life of the program. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
    return "leak:libfontconfig\n";
}
#endif

Test(scale, has_round_figures_and_holds_every_value) {
    for (double size = 0.003; size < 1e7; size *= 1.37)
        for (int sign = -1; sign <= 1; sign += 2) {
            double least = sign < 0 ? -size : 0, most = sign < 0 ? size / 3 : size;
            struct scale scale = scale_around(least, most, 5);
            cr_assert(scale.low <= least && scale.high >= most, "%g is outside", size);
            double mantissa = scale.step / pow(10, floor(log10(scale.step) + 1e-9));
            cr_assert(fabs(mantissa - 1) < 1e-6 || fabs(mantissa - 2) < 1e-6 || fabs(mantissa - 5) < 1e-6 ||
                          fabs(mantissa - 10) < 1e-6,
                      "a step of %g", scale.step);
            cr_assert((scale.high - scale.low) / scale.step < 8, "too many marks");
        }
    struct scale nothing = scale_around(0, 0, 5);
    cr_assert(nothing.high > nothing.low);
}

Test(scale, writes_figures_as_the_step_needs) {
    char text[PLOT_NOTE];
    scale_text(&(struct scale){0, 20000, 5000}, 15000, text);
    cr_assert_str_eq(text, "15\u2009000");
    scale_text(&(struct scale){-2, 2, 0.5}, -1.5, text);
    cr_assert_str_eq(text, "\u22121.5");
    scale_text(&(struct scale){-2, 2, 0.5}, -1e-17, text);
    cr_assert_str_eq(text, "0.0");
    scale_text(&(struct scale){0, 5000, 1000}, 4000, text);
    cr_assert_str_eq(text, "4000");
}

static long drawn(const char *ending, int kind, size_t count) {
    char folder[] = "/tmp/ell.plot.XXXXXX", path[80];
    struct plot_text text = {"A title", "A subtitle", "number", {"one", "two", NULL}};
    struct plot_item items[PLOT_COLUMNS] = {0};
    struct plot_week weeks[PLOT_COLUMNS] = {0};
    struct plot *plot;
    struct fault fault;
    struct stat told;
    cr_assert_not_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/plot%s", folder, ending);
    for (size_t i = 0; i < count; i++) {
        snprintf(items[i].label, sizeof items[i].label, "\u00c4 %zu <&>", i);
        items[i].parts[0] = (double)i;
        weeks[i] = (struct plot_week){"2026-11-30", 50 - 3 * (double)i, i == 4 ? 20 : 0, 3};
    }
    cr_assert(plot_open(path, &text, &plot, &fault), "%s", fault.message);
    if (kind == 0)
        plot_columns(plot, items, count);
    else if (kind == 1)
        plot_rows(plot, items, count);
    else
        plot_outlook(plot, 50, 12, weeks, count);
    cr_assert(plot_close(&plot, &fault), "%s", fault.message);
    cr_assert_null(plot);
    cr_assert_eq(stat(path, &told), 0);
    unlink(path);
    rmdir(folder);
    return (long)told.st_size;
}

Test(plot, every_kind_comes_out_in_every_format_however_much_there_is) {
    static const char *const endings[] = {".svg", ".png", ".pdf"};
    static const size_t counts[] = {0, 1, 13, PLOT_COLUMNS};
    for (int e = 0; e < 3; e++)
        for (int kind = 0; kind < 3; kind++)
            for (int c = 0; c < 4; c++)
                cr_assert_gt(drawn(endings[e], kind, counts[c]), 500, "kind %d of %zu as %s", kind, counts[c],
                             endings[e]);
}

Test(plot, says_what_it_cannot_write) {
    struct plot_text text = {"A title", "A subtitle", "number", {NULL}};
    struct plot *plot = NULL;
    struct fault fault;
    cr_assert_not(plot_open("plot.txt", &text, &plot, &fault));
    cr_assert(strcmp(fault.code, "bad-option") == 0 && plot == NULL);
    struct plot_item item = {"one", "1", {1}};
    cr_assert(plot_open("/nowhere/plot.svg", &text, &plot, &fault));
    plot_rows(plot, &item, 1);
    cr_assert_not(plot_close(&plot, &fault));
    cr_assert(strcmp(fault.code, "no-file") == 0 && plot == NULL);
}

Test(csv, quotes_what_it_must_and_parts_lines_as_rfc_4180_wants) {
    static const struct column columns[] = {{"Part", "part", COLUMN_TEXT},
                                            {"Value", "value", COLUMN_MONEY},
                                            {"At", "at", COLUMN_TIME},
                                            {"Share", "share", COLUMN_SHARE}};
    json_t *rows = json_pack("[{s:s, s:i, s:s, s:f}, {s:s}]", "part", "a \"b\", c", "value", 1250, "at",
                             "2026-11-25T09:14:05Z", "share", 0.125, "part", "plain");
    char *text = NULL;
    size_t size;
    FILE *stream = open_memstream(&text, &size);
    csv_print(stream, columns, 4, rows);
    fclose(stream);
    cr_assert_str_eq(text, "\"part\",\"value\",\"at\",\"share\"\r\n"
                           "\"a \"\"b\"\", c\",\"12.50\",\"2026-11-25T09:14:05Z\",\"0.125\"\r\n"
                           "\"plain\",\"\",\"\",\"\"\r\n");
    free(text);
    json_decref(rows);
}
