/* Windows worked out by hand in worked.txt, read as they stand there.
 * SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "takeoff/takeoff.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE = 400, TEXT = 4000, VALUES = 64 };

/* One window of the file: what was surveyed and the lines that begin with '='. */
struct worked {
    char title[LINE], survey[TEXT], expected[VALUES][LINE];
    size_t expected_count;
};

static const char *title = "";

static void check_values(const char *what, const json_t *array, const char *field, const char *values) {
    size_t index = 0;
    char *end;
    for (const char *at = values;; at = end, index++) {
        double wanted = strtod(at, &end);
        if (end == at)
            break;
        const json_t *item = json_array_get(array, index);
        double got = json_number_value(field ? json_object_get(item, field) : item);
        cr_assert(item != NULL && fabs(got - wanted) < 0.01, "%s: %s %zu is %g, by hand %g", title, what,
                  index + 1, got, wanted);
    }
    cr_assert_eq(index, json_array_size(array), "%s: %zu of %s, by hand %zu", title, json_array_size(array),
                 what, index);
}

static const json_t *find(const json_t *array, const char *field, const char *text) {
    size_t index;
    const json_t *item;
    json_array_foreach(array, index, item) {
        if (strcmp(json_string_value(json_object_get(item, field)), text) == 0)
            return item;
    }
    return NULL;
}

static void check_number(const char *what, const json_t *object, const char *field, double wanted,
                         double within) {
    double got = json_number_value(json_object_get(object, field));
    cr_assert(json_object_get(object, field) != NULL && fabs(got - wanted) <= within,
              "%s: %s is %g, by hand %g", title, what, got, wanted);
}

/* "field value field value ..." of an object. */
static void check_fields(const json_t *object, char *words) {
    char *rest = NULL;
    for (char *field = strtok_r(words, " ", &rest); field != NULL; field = strtok_r(NULL, " ", &rest)) {
        char *value = strtok_r(NULL, " ", &rest), *end;
        cr_assert_not_null(value, "%s: nothing stands after %s", title, field);
        double number = strtod(value, &end);
        const json_t *item = json_object_get(object, field);
        if (*end == '\0')
            check_number(field, object, field, number, 0.01);
        else
            cr_assert(json_is_string(item) ? strcmp(json_string_value(item), value) == 0
                                           : json_is_true(item) == (strcmp(value, "yes") == 0),
                      "%s: %s is not %s", title, field, value);
    }
}

static void check_part(const json_t *document, const char *words) {
    char code[32], count[32];
    cr_assert_eq(sscanf(words, "%31s %31s", code, count), 2, "%s: %s", title, words);
    const json_t *line = find(json_object_get(document, "parts"), "part", code);
    if (strcmp(count, "none") == 0)
        cr_assert_null(line, "%s: %s is in the kit", title, code);
    else
        check_number(code, line, "quantity", strtod(count, NULL), 0.001);
}

static void check_joins(const json_t *document, const char *values) {
    json_t *joins = json_array();
    size_t index;
    const json_t *mark;
    json_array_foreach(json_object_get(document, "brackets"), index, mark) {
        if (strcmp(json_string_value(json_object_get(mark, "kind")), "join") == 0)
            json_array_append(joins, json_object_get(mark, "from_left"));
    }
    check_values("joins", joins, NULL, values);
    json_decref(joins);
}

static void check_state(const json_t *document, const char *words) {
    char name[32];
    double reaction, moment;
    cr_assert_eq(sscanf(words, "%31s %lf %lf", name, &reaction, &moment), 3, "%s: %s", title, words);
    const json_t *state =
        find(json_object_get(json_object_get(document, "hanging"), "states"), "state", name);
    check_number("reaction", state, "reaction", reaction, 0.06);
    check_number("moment", state, "moment", moment, 1);
}

static void check_line(const json_t *document, const char *line) {
    char word[32], rest[LINE];
    int used = 0;
    cr_assert_eq(sscanf(line, "%31s %n", word, &used), 1, "%s: %s", title, line);
    snprintf(rest, sizeof rest, "%s", line + used);
    const json_t *advice = json_object_get(document, "advice");
    if (strcmp(word, "brackets") == 0)
        check_values(word, json_object_get(document, word), "from_left", rest);
    else if (strcmp(word, "from-midpoint") == 0)
        check_values(word, json_object_get(document, "brackets"), "from_midpoint", rest);
    else if (strcmp(word, "pieces") == 0)
        check_values(word, json_object_get(document, word), "length", rest);
    else if (strcmp(word, "splits") == 0)
        check_values(word, json_object_get(document, word), "join", rest);
    else if (strcmp(word, "bends") == 0)
        check_values(word, json_object_get(document, word), "from_left", rest);
    else if (strcmp(word, "joins") == 0)
        check_joins(document, rest);
    else if (strcmp(word, "part") == 0)
        check_part(document, rest);
    else if (strcmp(word, "state") == 0)
        check_state(document, rest);
    else if (strcmp(word, "advice") == 0)
        cr_assert_not_null(find(advice, "code", rest), "%s: advice %s is missing", title, rest);
    else if (strcmp(word, "no-advice") == 0)
        cr_assert_null(find(advice, "code", rest), "%s: advice %s is given", title, rest);
    else if (strcmp(word, "curtain") == 0)
        check_fields(json_array_get(json_object_get(json_object_get(document, "curtains"), "each"), 0), rest);
    else if (json_is_object(json_object_get(document, word)))
        check_fields(json_object_get(document, word), rest);
    else {
        char whole[LINE];
        snprintf(whole, sizeof whole, "%s", line);
        check_fields(document, whole);
    }
}

static void check_window(const struct worked *worked, const json_t *base, const struct catalogue *catalogue) {
    struct fault fault = {.code = ""};
    struct survey survey;
    struct takeoff *takeoff = NULL;
    json_t *window = json_deep_copy(base),
           *own = document_read(worked->survey, strlen(worked->survey), &document_small, &fault);
    title = worked->title;
    cr_assert_not_null(own, "%s: %s %s", title, fault.where, fault.message);
    json_object_update_recursive(window, own);
    bool taken =
        survey_read(window, "", &survey, &fault) && takeoff_compute(&survey, catalogue, &takeoff, &fault);
    char wanted[LINE];
    bool refusal = sscanf(worked->expected[0], "fault %399s", wanted) == 1;
    if (!taken)
        cr_assert(refusal && strcmp(wanted, fault.code) == 0, "%s: %s at %s: %s", title, fault.code,
                  fault.where, fault.message);
    cr_assert_neq(taken, refusal, "%s: taken, but %s is wanted", title, wanted);
    json_t *document = taken ? takeoff_document(takeoff) : NULL;
    for (size_t i = 0; i < worked->expected_count && taken; i++)
        check_line(document, worked->expected[i]);
    json_decref(document);
    takeoff_free(takeoff);
    json_decref(own);
    json_decref(window);
}

static void add_text(char *text, const char *line) {
    cr_assert_lt(strlen(text) + strlen(line) + 2, TEXT, "%s: too long", line);
    size_t used = strlen(text);
    snprintf(text + used, TEXT - used, "%s\n", line);
}

/* "## title" begins a window, "| " carries its survey, "= " what must come out; all else is for the reader.
 */
Test(worked, every_window_comes_out_as_by_hand) {
    struct fault fault = {.code = ""};
    json_t *json = document_read_file(REFERENCE_DIR "/catalogue.json", &document_large, &fault), *base = NULL;
    cr_assert_not_null(json, "%s", fault.message);
    struct catalogue *catalogue = catalogue_read(json, &fault);
    cr_assert_not_null(catalogue, "%s %s", fault.where, fault.message);
    FILE *file = fopen(REFERENCE_DIR "/worked.txt", "r");
    cr_assert_not_null(file, "no worked.txt");
    static struct worked worked;
    char line[LINE];
    size_t count = 0;
    for (bool more = true; more;) {
        more = fgets(line, sizeof line, file) != NULL;
        line[strcspn(line, "\n")] = '\0';
        if (!more || strncmp(line, "## ", 3) == 0) {
            if (worked.expected_count > 0)
                check_window(&worked, base, catalogue);
            else if (worked.survey[0] != '\0')
                base = document_read(worked.survey, strlen(worked.survey), &document_small, &fault);
            count += worked.expected_count > 0;
            memset(&worked, 0, sizeof worked);
            snprintf(worked.title, sizeof worked.title, "%s", line);
        } else if (line[0] == '|') {
            add_text(worked.survey, line + 1);
        } else if (line[0] == '=') {
            cr_assert_lt(worked.expected_count, VALUES, "%s: too many", worked.title);
            snprintf(worked.expected[worked.expected_count++], LINE, "%s", line + 2);
        }
    }
    fclose(file);
    cr_assert_geq(count, 20, "%zu windows", count);
    json_decref(base);
    json_decref(json);
    catalogue_free(catalogue);
}
