/* SPDX-License-Identifier: Apache-2.0 */
#include "settings.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char file[] = "/tmp/ellwand-settings.XXXXXX";

static void make_file(void) {
    int descriptor = mkstemp(file);
    cr_assert(descriptor >= 0);
    close(descriptor);
    unsetenv("ELLWAND_SERVER");
    unsetenv("ELLWAND_SERVER_KEY");
    unsetenv("ELLWAND_KEY");
    unsetenv("ELLWAND_CONFIG");
    setenv("XDG_CONFIG_HOME", "/nonexistent", 1);
}

static void remove_file(void) {
    unlink(file);
}

static void write_file(const char *text) {
    FILE *stream = fopen(file, "w");
    cr_assert_not_null(stream);
    fputs(text, stream);
    fclose(stream);
}

TestSuite(settings, .init = make_file, .fini = remove_file);

Test(settings, work_without_any) {
    struct settings settings;
    struct settings_given given = {0};
    struct fault fault = {0};
    cr_assert(settings_read(&given, &settings, &fault), "%s", fault.message);
    cr_assert_str_eq(settings.server, "tcp://127.0.0.1:5577");
    cr_assert_eq(settings.timeout_ms, 10000);
    cr_assert_str_eq(settings.key, "");
}

Test(settings, the_command_line_wins_then_the_environment_then_the_file) {
    struct settings settings;
    struct settings_given given = {.config = file, .server = "tcp://a:1", .timeout = "0.5"};
    struct fault fault = {0};
    write_file("server = \"tcp://c:3\"; server_key = \"/etc/s\"; key = \"mine.key\"; timeout = 3;\n");
    setenv("ELLWAND_SERVER", "tcp://b:2", 1);
    setenv("ELLWAND_SERVER_KEY", "/env/s", 1);
    cr_assert(settings_read(&given, &settings, &fault), "%s", fault.message);
    cr_assert_str_eq(settings.server, "tcp://a:1");
    cr_assert_str_eq(settings.server_key, "/env/s");
    cr_assert_str_eq(settings.key, "/tmp/mine.key", "a name in the file counts from the file's folder");
    cr_assert_eq(settings.timeout_ms, 500);
}

Test(settings, wrong_ones_name_file_and_line) {
    static const struct {
        const char *text;
        int line;
    } wrong[] = {
        {"server = \"tcp://a:1\";\nsevrer = \"x\";\n", 2},
        {"server = 5;\n", 1},
        {"\n\ntimeout = \"long\";\n", 3},
        {"key = \"a\"\nkey = \"b\";\n", 2},
        {"server = \"unclosed\n", 2},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct settings settings;
        struct settings_given given = {.config = file};
        struct fault fault = {0};
        char where[64];
        write_file(wrong[i].text);
        cr_assert(!settings_read(&given, &settings, &fault), "file %zu was taken", i);
        snprintf(where, sizeof where, "%s:%d", file, wrong[i].line);
        cr_assert_str_eq(fault.code, "bad-configuration");
        cr_assert_str_eq(fault.where, where, "file %zu: %s: %s", i, fault.where, fault.message);
    }
}

Test(settings, bounds_of_the_command_line) {
    static const char *const timeouts[] = {"0", "-1", "x", "1s", "nan", "1e9", ""};
    struct settings settings;
    struct fault fault = {0};
    for (size_t i = 0; i < sizeof timeouts / sizeof timeouts[0]; i++) {
        struct settings_given given = {.timeout = timeouts[i]};
        cr_assert(!settings_read(&given, &settings, &fault), "%s was taken", timeouts[i]);
        cr_assert_str_eq(fault.where, "--timeout");
    }
    struct settings_given given = {.request_id = "not an id"};
    cr_assert(!settings_read(&given, &settings, &fault));
    given = (struct settings_given){.config = "/nonexistent/client.conf"};
    cr_assert(!settings_read(&given, &settings, &fault), "a file that was named must be there");
    cr_assert_str_eq(fault.code, "no-file");
}
