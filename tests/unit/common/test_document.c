/* SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static json_t *read_text(const char *text, struct fault *fault) {
    return document_read(text, strlen(text), &document_small, fault);
}

Test(document, names_line_and_column) {
    struct fault fault = {0};
    cr_assert_null(read_text("{\"a\":1,\n \"b\":}", &fault));
    cr_assert_str_eq(fault.code, "bad-json");
    cr_assert_str_eq(fault.where, "line 2, column 6");
}

Test(document, bounds_hold_before_the_library_reads) {
    struct fault fault = {0};
    char deep[20001];
    memset(deep, '[', sizeof deep - 1);
    deep[sizeof deep - 1] = '\0';
    cr_assert_null(read_text(deep, &fault));
    cr_assert_str_eq(fault.code, "too-deep");
    size_t size = 10u << 20;
    char *large = malloc(size);
    memset(large, ' ', size);
    cr_assert_null(document_read(large, size, &document_small, &fault));
    cr_assert_str_eq(fault.code, "too-large");
    free(large);
}

Test(document, refuses_nan_duplicates_and_broken_utf8) {
    static const char *bad[] = {"{\"a\":NaN}", "{\"a\":1,\"a\":2}", "\"\xC3\x28\"", "{\"a\":1e999}", "",
                                "{} {}"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct fault fault = {0};
        cr_assert_null(read_text(bad[i], &fault), "%s was taken", bad[i]);
        cr_assert_str_eq(fault.code, "bad-json");
    }
}

static bool read_window(const char *text, ell_length *width, struct fault *fault) {
    json_t *json = read_text(text, fault);
    struct form form;
    form_open(&form, json, "windows[2]", fault);
    ell_length read = form_length(&form, "width", 3000, 120000);
    form_choice_or(&form, "position", (const char *const[]){"face", "top", NULL}, 0);
    bool good = form_close(&form);
    if (good)
        *width = read;
    json_decref(json);
    return good;
}

Test(form, says_which_field_and_what_to_do) {
    struct fault fault = {0};
    ell_length width = 0;
    cr_assert(read_window("{\"width\":\"183 cm\"}", &width, &fault));
    cr_assert_eq(width, 18300);
    static const struct {
        const char *text, *code, *where;
    } bad[] = {
        {"{}", "missing-field", "windows[2].width"},
        {"{\"width\":-3}", "out-of-range", "windows[2].width"},
        {"{\"width\":true}", "bad-length", "windows[2].width"},
        {"{\"width\":1830.25}", "bad-length", "windows[2].width"},
        {"{\"width\":1830,\"postion\":\"top\"}", "unknown-field", "windows[2].postion"},
        {"{\"width\":1830,\"position\":\"side\"}", "unknown-choice", "windows[2].position"},
        {"[1]", "wrong-type", "windows[2]"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        cr_assert_not(read_window(bad[i].text, &width, &fault), "%s was taken", bad[i].text);
        cr_assert_str_eq(fault.code, bad[i].code, "%s gave %s", bad[i].text, fault.code);
        cr_assert_str_eq(fault.where, bad[i].where, "%s gave %s", bad[i].text, fault.where);
    }
    cr_assert_eq(width, 18300, "a failed call changed its output");
}

static bool read_date(const char *text, char date[11], struct fault *fault) {
    json_t *json = json_pack("{s:s}", "due", text);
    struct form form;
    form_open(&form, json, "", fault);
    form_date_or(&form, "due", date, "");
    bool good = form_close(&form);
    json_decref(json);
    return good;
}

/* The calendar is the Gregorian one: a century is a leap year when 400 divides it (ISO 8601). */
Test(form, takes_dates_of_the_calendar_alone) {
    static const char *good[] = {"2026-11-30", "2024-02-29", "2000-02-29", "1900-01-01"};
    static const char *bad[] = {"2026-11-31", "2025-02-29", "1900-02-29", "2026-00-10",  "2026-13-01",
                                "2026- 1- 1", "2026-1-011", "+026-01-01", "2026-01-01T", "26-01-01"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        struct fault fault = {0};
        char date[11];
        cr_assert(read_date(good[i], date, &fault), "%s was refused", good[i]);
        cr_assert_str_eq(date, good[i]);
    }
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct fault fault = {0};
        char date[11];
        cr_assert_not(read_date(bad[i], date, &fault), "%s was taken", bad[i]);
        cr_assert_str_eq(fault.code, "bad-date");
    }
}

Test(form, guesses_a_misspelt_name) {
    struct fault fault = {0};
    ell_length width = 0;
    cr_assert_not(read_window("{\"widht\":1830}", &width, &fault));
    cr_assert_str_eq(fault.where, "windows[2].width");
    cr_assert_not_null(strstr(fault.message, "\"widht\""), "%s", fault.message);
    cr_assert_not(read_window("{\"position\":\"top\"}", &width, &fault));
    cr_assert_null(strstr(fault.message, "meant"), "%s", fault.message);
    char name[200] = "{\"";
    memset(name + 2, 'w', 150);
    snprintf(name + 152, sizeof name - 152, "\":1}");
    cr_assert_not(read_window(name, &width, &fault));
    cr_assert_str_eq(fault.code, "missing-field");
}
