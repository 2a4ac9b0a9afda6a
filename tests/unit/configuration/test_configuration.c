/* SPDX-License-Identifier: Apache-2.0 */
#include "configuration.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Reads `text` as a file; its name goes into `path`, and the file is gone again. */
static bool read_text(const char *text, char path[32], struct configuration *configuration,
                      struct fault *fault) {
    snprintf(path, 32, "/tmp/ellwand.XXXXXX");
    int descriptor = mkstemp(path);
    cr_assert_geq(descriptor, 0);
    cr_assert_eq(write(descriptor, text, strlen(text)), (ssize_t)strlen(text));
    close(descriptor);
    bool good = configuration_read(path, configuration, fault);
    unlink(path);
    return good;
}

static const char right[] =
    "database = \"dbname=x\";\nworkshop = \"demo\";\nplain_key = \"anna\";\nworkers = 3;\n";

Test(configuration, takes_a_right_file_and_fills_in_the_rest) {
    struct configuration configuration;
    struct fault fault;
    char path[32];
    cr_assert(read_text(right, path, &configuration, &fault), "%s", fault.message);
    cr_assert_str_eq(configuration.workshop, "demo");
    cr_assert_eq(configuration.workers, 3);
    cr_assert_eq(configuration.connections, 8);
    cr_assert_str_eq(configuration.listen, "tcp://127.0.0.1:5577");
}

Test(configuration, names_file_line_and_reason) {
    static const struct {
        const char *more;
        int line;
        const char *says;
    } wrong[] = {
        {"colour = 3;\n", 5, "no key colour"},      {"workers = \"many\";\n", 5, "not understood"},
        {"queue = \"many\";\n", 5, "whole number"}, {"queue = 0;\n", 5, "bounds"},
        {"log = 7;\n", 5, "text in quotes"},        {"\n\nlog = \n", 8, "not understood"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char text[400], path[32], place[64];
        struct configuration configuration = {.workers = 77};
        struct fault fault = {0};
        snprintf(text, sizeof text, "%s%s", right, wrong[i].more);
        cr_assert_not(read_text(text, path, &configuration, &fault), "%s was taken", wrong[i].more);
        snprintf(place, sizeof place, "%s, line %d", path, wrong[i].line);
        cr_assert_str_eq(fault.code, "bad-configuration");
        cr_assert_str_eq(fault.where, place, "%s gave %s", wrong[i].more, fault.where);
        cr_assert_not_null(strstr(fault.message, wrong[i].says), "%s", fault.message);
        cr_assert_eq(configuration.workers, 77, "a failed call changed its output");
    }
}

Test(configuration, needs_a_key_or_the_word_that_there_is_none) {
    struct configuration configuration;
    struct fault fault = {0};
    char path[32];
    cr_assert_not(read_text("database = \"x\"; workshop = \"y\";", path, &configuration, &fault));
    cr_assert_not_null(strstr(fault.message, "key_file"));
    cr_assert_not(read_text("workshop = \"y\"; plain_key = \"k\";", path, &configuration, &fault));
    cr_assert_not_null(strstr(fault.message, "database"));
    cr_assert_not(configuration_read("/nonexistent/file", &configuration, &fault));
    cr_assert_str_eq(fault.code, "no-file");
}

Test(configuration, the_example_file_is_what_the_table_says) {
    FILE *made = tmpfile(), *kept = fopen(ELLWAND_SOURCE_DIR "/deploy/ellwandd.conf.example", "r");
    cr_assert_not_null(kept, "deploy/ellwandd.conf.example is missing");
    configuration_explain(made);
    rewind(made);
    int a, b, line = 1;
    do {
        a = fgetc(made);
        b = fgetc(kept);
        cr_assert_eq(
            a, b,
            "deploy/ellwandd.conf.example differs in line %d; write it anew with `ellwandd configuration`",
            line);
        line += a == '\n';
    } while (a != EOF);
    fclose(made);
    fclose(kept);
}
