/* The invented workshop's own files: every order is taken. SPDX-License-Identifier: Apache-2.0 */
#include "demo.h"
#include "takeoff/order_file.h"
#include "takeoff/takeoff.h"

#include <criterion/criterion.h>
#include <glob.h>
#include <stdio.h>
#include <string.h>

static size_t take_order(const json_t *json, const struct catalogue *catalogue, const char *path) {
    struct fault fault = {.code = ""};
    struct order_file *order = order_file_read(json, &fault);
    cr_assert_not_null(order, "%s: %s at %s: %s", path, fault.code, fault.where, fault.message);
    size_t count = order->window_count;
    order_file_free(order);
    size_t index;
    const json_t *window;
    json_array_foreach(json_object_get(json, "windows"), index, window) {
        char where[32];
        snprintf(where, sizeof where, "windows[%zu]", index);
        json_t *document = takeoff_run(window, where, catalogue, &fault);
        cr_assert_not_null(document, "%s: %s at %s: %s", path, fault.code, fault.where, fault.message);
        cr_assert_gt(json_array_size(json_object_get(document, "brackets")), 1, "%s: brackets", path);
        json_decref(document);
    }
    return count;
}

Test(demo, twelve_orders_of_25_windows_are_taken) {
    struct catalogue *catalogue = demo_catalogue();
    glob_t files;
    size_t windows = 0;
    cr_assert_eq(glob(ELLWAND_SOURCE_DIR "/sql/demo/orders/*.json", 0, NULL, &files), 0, "no order files");
    for (size_t i = 0; i < files.gl_pathc; i++) {
        struct fault fault = {.code = ""};
        json_t *json = document_read_file(files.gl_pathv[i], &document_small, &fault);
        cr_assert_not_null(json, "%s: %s", files.gl_pathv[i], fault.message);
        windows += take_order(json, catalogue, files.gl_pathv[i]);
        json_decref(json);
    }
    cr_assert_eq(files.gl_pathc, 12, "%zu files", files.gl_pathc);
    cr_assert_eq(windows, 25, "%zu windows", windows);
    globfree(&files);
    catalogue_free(catalogue);
}

Test(demo, the_csv_example_is_taken) {
    struct catalogue *catalogue = demo_catalogue();
    struct fault fault = {.code = ""};
    static char bytes[65536];
    FILE *file = fopen(ELLWAND_SOURCE_DIR "/sql/demo/orders.csv", "rb");
    cr_assert_not_null(file, "no file");
    size_t count = fread(bytes, 1, sizeof bytes, file), index;
    fclose(file);
    json_t *orders = order_csv_read(bytes, count, &fault), *order;
    cr_assert_not_null(orders, "%s at %s: %s", fault.code, fault.where, fault.message);
    cr_assert_eq(json_array_size(orders), 3, "%zu orders", json_array_size(orders));
    json_array_foreach(orders, index, order) {
        take_order(order, catalogue, "orders.csv");
    }
    json_decref(orders);
    catalogue_free(catalogue);
}

/* Which substitutes the take-off of that window allows for `part`. */
static const json_t *substitutes_at(const struct catalogue *catalogue, const json_t *order, size_t window,
                                    const char *part, json_t **takeoff) {
    struct fault fault;
    size_t index;
    const json_t *line;
    *takeoff =
        takeoff_run(json_array_get(json_object_get(order, "windows"), window), "windows", catalogue, &fault);
    cr_assert_not_null(*takeoff, "%s", fault.message);
    json_array_foreach(json_object_get(*takeoff, "parts"), index, line) {
        if (strcmp(json_string_value(json_object_get(line, "part")), part) == 0)
            return json_object_get(line, "substitutes");
    }
    cr_assert_fail("no %s", part);
    return NULL;
}

/* The silver bracket stands in for the white one inside a recess (window 2), where nobody sees it, and not outside. */
Test(demo, a_substitute_is_offered_where_its_condition_holds) {
    struct catalogue *catalogue = demo_catalogue();
    struct fault fault;
    json_t *order =
        document_read_file(ELLWAND_SOURCE_DIR "/sql/demo/orders/A1001.json", &document_small, &fault);
    cr_assert_not_null(order, "%s", fault.message);
    json_t *takeoff;
    cr_assert_null(substitutes_at(catalogue, order, 0, "LK-MOUNT-WH", &takeoff));
    json_decref(takeoff);
    const json_t *list = substitutes_at(catalogue, order, 1, "LK-MOUNT-WH", &takeoff);
    cr_assert_eq(json_array_size(list), 1);
    cr_assert_str_eq(json_string_value(json_array_get(list, 0)), "LK-MOUNT-SI");
    json_decref(takeoff);
    json_decref(order);
    catalogue_free(catalogue);
}
