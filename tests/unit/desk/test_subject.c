/* Things named by number or by scan code. SPDX-License-Identifier: Apache-2.0 */
#include "desk/subject.h"

#include <criterion/criterion.h>
#include <string.h>

enum { BARS = SUBJECT(CODE_BAR) | SUBJECT(CODE_OFFCUT) };

struct reading {
    int64_t id;
    bool good;
    struct fault fault;
};

/* Reads field "bar" of the JSON text. */
static struct reading read_bar(const char *text, bool wanted) {
    struct reading reading = {0};
    struct form form;
    json_t *json = json_loads(text, 0, NULL);
    cr_assert_not_null(json, "%s is no JSON", text);
    form_open(&form, json, "", &reading.fault);
    reading.id = wanted ? subject_read(&form, "bar", BARS) : subject_read_or_none(&form, "bar", BARS);
    reading.good = form_close(&form);
    json_decref(json);
    return reading;
}

static void expect_id(const char *text, int64_t id) {
    struct reading reading = read_bar(text, true);
    cr_assert(reading.good, "%s: %s", text, reading.fault.message);
    cr_assert_eq(reading.id, id, "%s gives %lld", text, (long long)reading.id);
}

static void expect_fault(const char *text, const char *code) {
    struct reading reading = read_bar(text, true);
    cr_assert_not(reading.good, "%s was taken", text);
    cr_assert_str_eq(reading.fault.code, code, "%s: %s", text, reading.fault.code);
    cr_assert_str_eq(reading.fault.where, "bar", "%s: %s", text, reading.fault.where);
    cr_assert_eq(reading.id, 0, "%s", text);
}

Test(subject, number_or_code) {
    char text[64], code[CODE_TEXT];
    expect_id("{\"bar\": 7}", 7);
    expect_id("{\"bar\": 9223372036854775807}", INT64_MAX);
    snprintf(text, sizeof text, "{\"bar\": \"%s\"}", code_write(CODE_OFFCUT, 17, code));
    expect_id(text, 17);
    snprintf(text, sizeof text, "{\"bar\": \"%s\"}", code_write(CODE_BAR, 17, code));
    expect_id(text, 17);
}

Test(subject, wrong_ones_are_named) {
    char text[64], code[CODE_TEXT];
    expect_fault("{\"bar\": 0}", "wrong-type");
    expect_fault("{\"bar\": -3}", "wrong-type");
    expect_fault("{\"bar\": 1.5}", "wrong-type");
    expect_fault("{\"bar\": true}", "wrong-type");
    expect_fault("{\"bar\": {}}", "wrong-type");
    expect_fault("{\"bar\": \"\"}", "bad-code");
    expect_fault("{\"bar\": \"17\"}", "bad-code");
    expect_fault("{}", "missing-field");
    expect_fault("{\"bar\": null}", "missing-field");
    snprintf(text, sizeof text, "{\"bar\": \"%s\"}", code_write(CODE_PIECE, 17, code));
    expect_fault(text, "wrong-code");
    code_write(CODE_BAR, 17, code);
    code[1] = '2';
    snprintf(text, sizeof text, "{\"bar\": \"%s\"}", code);
    expect_fault(text, "misread-code");
}

Test(subject, may_be_absent) {
    struct reading reading = read_bar("{}", false);
    cr_assert(reading.good && reading.id == 0, "an absent field is not none");
    reading = read_bar("{\"bar\": \"?\"}", false);
    cr_assert_not(reading.good, "nonsense counts as absent");
}

/* Reads field "spoiled" of the JSON text as a list of pieces. */
static json_t *read_list(const char *text, struct fault *fault) {
    struct form form;
    json_t *json = json_loads(text, 0, NULL);
    form_open(&form, json, "", fault);
    json_t *list = subject_read_list(&form, "spoiled", SUBJECT(CODE_PIECE), 3, fault);
    if (list != NULL && !form_close(&form)) {
        json_decref(list);
        list = NULL;
    }
    json_decref(json);
    return list;
}

Test(subject, lists) {
    char text[64], code[CODE_TEXT];
    struct fault fault;
    snprintf(text, sizeof text, "{\"spoiled\": [4, \"%s\"]}", code_write(CODE_PIECE, 5, code));
    json_t *list = read_list(text, &fault);
    cr_assert_eq(json_array_size(list), 2);
    cr_assert_eq(json_integer_value(json_array_get(list, 0)), 4);
    cr_assert_eq(json_integer_value(json_array_get(list, 1)), 5);
    json_decref(list);
    list = read_list("{}", &fault);
    cr_assert(list != NULL && json_array_size(list) == 0, "an absent list is not empty");
    json_decref(list);
    cr_assert_null(read_list("{\"spoiled\": [1, 2, 3, 4]}", &fault), "more than the most were taken");
    cr_assert_null(read_list("{\"spoiled\": [1, \"x\"]}", &fault));
    cr_assert_str_eq(fault.where, "spoiled[1]", "%s", fault.where);
}
