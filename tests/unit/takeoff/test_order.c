/* Orders in JSON and CSV: what is taken, and how what is wrong is named.
 * SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "takeoff/order_file.h"

#include <criterion/criterion.h>
#include <string.h>

static json_t *parse(const char *text) {
    struct fault fault = {.code = ""};
    json_t *json = document_read(text, strlen(text), &document_small, &fault);
    cr_assert_not_null(json, "%s %s: %s", fault.code, fault.where, text);
    return json;
}

#define WINDOW_WITHOUT_WIDTH                                                                                 \
    "\"position\":\"face\",\"place\":\"outside\",\"height\":1200,\"substrate\":\"masonry\",\"control\":"     \
    "\"hand\","                                                                                              \
    "\"draw\":\"pair\",\"system\":\"LARK\",\"finish\":\"WH\""
#define CURTAIN "\"curtain\":{\"drop\":1500,\"heading\":\"pencil\",\"fullness\":2,\"face\":200}"
#define WINDOW(name) "{\"window\":\"" name "\",\"width\":1830," WINDOW_WITHOUT_WIDTH "," CURTAIN "}"
#define ORDER(windows) "{\"order\":\"A1\",\"customer\":\"Invented\",\"windows\":[" windows "]}"

static void order_refused(const char *text, const char *code, const char *where) {
    struct fault fault = {.code = ""};
    json_t *json = parse(text);
    struct order_file *order = order_file_read(json, &fault);
    cr_assert_null(order, "taken: %s", text);
    cr_assert_str_eq(fault.code, code, "%s at %s: %s", fault.code, fault.where, fault.message);
    cr_assert_str_eq(fault.where, where, "%s at %s: %s", fault.code, fault.where, fault.message);
    json_decref(json);
}

Test(order, a_whole_order_is_read) {
    struct fault fault = {.code = ""};
    json_t *json = parse("{\"order\":\"A1\",\"customer\":\"Invented\",\"due\":\"2026-12-04\",\"priority\":8,"
                         "\"notes\":\"n\",\"windows\":[" WINDOW("W1") "," WINDOW("W2") "]}");
    struct order_file *order = order_file_read(json, &fault);
    cr_assert_not_null(order, "%s at %s: %s", fault.code, fault.where, fault.message);
    cr_assert_str_eq(order->due, "2026-12-04", "due");
    cr_assert_eq(order->priority, 8, "priority");
    cr_assert_str_eq(order->unit, "mm", "unit");
    cr_assert_eq(order->window_count, 2, "windows");
    cr_assert_eq(order->windows[1].width, 18300, "width");
    cr_assert_eq(order->windows[1].wall_left, SURVEY_UNKNOWN, "what was not measured");
    cr_assert(order->windows[0].children, "children may be in a room until somebody says otherwise");
    order_file_free(order);
    json_decref(json);
}

Test(order, what_is_wrong_names_its_window) {
    order_refused("[]", "wrong-type", "");
    order_refused(ORDER(""), "out-of-range", "windows");
    order_refused(ORDER(WINDOW("W1") "," WINDOW("W1")), "twice-named", "windows[1]");
    order_refused(
        "{\"order\":\"A1\",\"customer\":\"I\",\"due\":\"2026-02-30\",\"windows\":[" WINDOW("W") "]}",
        "bad-date", "due");
    order_refused("{\"order\":\"A1\",\"customer\":\"I\",\"priority\":10,\"windows\":[" WINDOW("W") "]}",
                  "out-of-range", "priority");
    order_refused("{\"order\":\"A1\",\"customer\":\"I\",\"unit\":\"ft\",\"windows\":[" WINDOW("W") "]}",
                  "unknown-choice", "unit");
    order_refused(
        ORDER(WINDOW("W1") ",{\"window\":\"W2\",\"width\":-1," WINDOW_WITHOUT_WIDTH "," CURTAIN "}"),
        "out-of-range", "windows[1].width");
    order_refused(ORDER("{\"window\":\"W\",\"width\":1e300," WINDOW_WITHOUT_WIDTH "," CURTAIN "}"),
                  "bad-length", "windows[0].width");
    order_refused(ORDER("{\"window\":\"W\",\"width\":\"6 cubits\"," WINDOW_WITHOUT_WIDTH "," CURTAIN "}"),
                  "bad-length", "windows[0].width");
    order_refused(ORDER("{\"window\":\"W\"," WINDOW_WITHOUT_WIDTH "," CURTAIN "}"), "missing-field",
                  "windows[0].width");
    order_refused(ORDER("{\"window\":\"W\",\"widths\":[1,2,3]," WINDOW_WITHOUT_WIDTH "," CURTAIN "}"),
                  "contradiction", "windows[0].widths");
    order_refused(
        ORDER("{\"window\":\"W\",\"width\":900,\"colour\":\"red\"," WINDOW_WITHOUT_WIDTH "," CURTAIN "}"),
        "unknown-field", "windows[0].colour");
    order_refused(ORDER("{\"window\":\"W\",\"width\":900," WINDOW_WITHOUT_WIDTH "}"), "wrong-type",
                  "windows[0].curtain");
    order_refused(ORDER("{\"window\":\"W\",\"width\":900," WINDOW_WITHOUT_WIDTH
                        ",\"curtain\":{\"drop\":1500,\"reach\":"
                        "\"floor\",\"heading\":\"pencil\",\"fullness\":2,\"face\":200}}"),
                  "contradiction", "windows[0].curtain.drop");
    order_refused(
        ORDER("{\"window\":\"W\",\"bay\":{\"straights\":[700,900],\"angles\":[190]}," WINDOW_WITHOUT_WIDTH
              "," CURTAIN "}"),
        "out-of-range", "windows[0].bay.angles");
    order_refused(
        ORDER("{\"window\":\"W\",\"bay\":{\"straights\":[700,0],\"angles\":[135]}," WINDOW_WITHOUT_WIDTH
              "," CURTAIN "}"),
        "out-of-range", "windows[0].bay.straights[1]");
}

Test(order, what_came_with_a_unit_is_kept) {
    struct fault fault = {.code = ""};
    struct survey survey;
    json_t *json =
        parse("{\"window\":\"W\",\"width\":\"72 1/2 in\"," WINDOW_WITHOUT_WIDTH ",\"curtain\":{\"drop\":"
              "\"150 cm\",\"heading\":\"pencil\",\"fullness\":2,\"face\":200}}");
    cr_assert(survey_read(json, "", &survey, &fault), "%s", fault.message);
    cr_assert_eq(survey.understood_count, 2, "%zu readings", survey.understood_count);
    cr_assert_str_eq(survey.understood[0].field, "width", "field");
    cr_assert_str_eq(survey.understood[0].given, "72 1/2 in", "given");
    cr_assert_eq(survey.understood[0].length, 18415, "72.5 x 25.4 = 1841.5 mm");
    cr_assert_str_eq(survey.understood[1].field, "curtain.drop", "field");
    json_decref(json);
}

Test(order, a_refused_survey_leaves_the_old_one_alone) {
    struct fault fault = {.code = ""};
    struct survey survey = {.width = 4711};
    json_t *json = parse("{\"window\":\"W\",\"width\":900}");
    cr_assert_not(survey_read(json, "", &survey, &fault), "taken");
    cr_assert_eq(survey.width, 4711, "overwritten");
    json_decref(json);
}

#define HEADER                                                                                               \
    "order,customer,unit,window,position,place,width,height,substrate,control,draw,system,finish,curtain."   \
    "drop,"                                                                                                  \
    "curtain.heading,curtain.fullness,curtain.face\n"
#define ROW(order, unit, window, width, drop)                                                                \
    order ",Invented," unit "," window ",face,outside," width ",1200,masonry,hand,pair,LARK,WH," drop        \
          ",pencil,2,200\n"

static json_t *csv(const char *text, struct fault *fault) {
    return order_csv_read(text, strlen(text), fault);
}

static void csv_refused(const char *text, const char *code, const char *where) {
    struct fault fault = {.code = ""};
    cr_assert_null(csv(text, &fault), "taken: %s", text);
    cr_assert_str_eq(fault.code, code, "%s at %s: %s", fault.code, fault.where, fault.message);
    cr_assert_str_eq(fault.where, where, "%s at %s: %s", fault.code, fault.where, fault.message);
}

static ell_length width_of(const json_t *orders, size_t order, size_t window) {
    struct fault fault;
    struct order_file *read = order_file_read(json_array_get(orders, order), &fault);
    ell_length width = read->windows[window].width;
    order_file_free(read);
    return width;
}

Test(order, csv_rows_become_orders) {
    struct fault fault = {.code = ""};
    json_t *orders = csv("\xEF\xBB\xBF" HEADER ROW("A", "mm", "W1", "1830", "1500")
                             ROW("B", "", "W1", "60 in", "1500") "\r\n" ROW("A", "", "W2", "91.5", "1500"),
                         &fault);
    cr_assert_not_null(orders, "%s at %s: %s", fault.code, fault.where, fault.message);
    cr_assert_eq(json_array_size(orders), 2, "two orders, in the order of their first rows");
    cr_assert_eq(width_of(orders, 0, 0), 18300, "mm");
    cr_assert_eq(width_of(orders, 0, 1), 915, "tenths");
    cr_assert_eq(width_of(orders, 1, 0), 15240, "a cell's own unit");
    json_decref(orders);
}

Test(order, csv_units_hold_for_the_row) {
    struct fault fault = {.code = ""};
    json_t *orders =
        csv("order,customer,unit,window,position,place,widths,height,substrate,control,draw,system,finish,"
            "curtain.drop,curtain.heading,curtain.fullness,curtain.face\r\n"
            "A,\"Invented, \"\"quoted\"\"\",cm,W,face,inside,90.5 90 91,120,masonry,hand,pair,LARK,WH,150,"
            "pencil,2,200\r\n",
            &fault);
    cr_assert_not_null(orders, "%s at %s: %s", fault.code, fault.where, fault.message);
    cr_assert_eq(width_of(orders, 0, 0), 9000, "the smallest of three, in cm");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(orders, 0), "customer")),
                     "Invented, \"quoted\"", "quotes");
    json_decref(orders);
}

Test(order, csv_faults_name_line_and_column) {
    csv_refused("", "bad-csv", "line 1");
    csv_refused(HEADER, "bad-csv", "line 2");
    csv_refused("order,colour\nA,red\n", "unknown-field", "line 1, column colour");
    csv_refused("order,window,order\n", "twice-named", "line 1, column order");
    csv_refused(HEADER ROW("A", "mm", "W1", "1830", "1500") ROW("A", "mm", "W2", "wide", "1500"),
                "bad-length", "line 3, column width");
    csv_refused(HEADER "\n\n" ROW("A", "mm", "W1", "1830", "-3"), "out-of-range",
                "line 4, column curtain.drop");
    csv_refused(HEADER "\r\n" ROW("A", "mm", "W1", "", "1500"), "missing-field", "line 3, column width");
    csv_refused(HEADER ROW("", "mm", "W1", "1830", "1500"), "missing-field", "line 2, column order");
    csv_refused(HEADER ROW("A", "ell", "W1", "1830", "1500"), "unknown-choice", "line 2, column unit");
    csv_refused(HEADER "A,Invented\nA,Somebody else\n", "missing-field", "line 2, column window");
    csv_refused(HEADER ROW("A", "mm", "W1", "1830", "1500") ROW("A", "mm", "W1", "1830", "1500"),
                "twice-named", "order A, column windows[1]");
    csv_refused(HEADER "A,\"Inven\"ted,mm\n", "bad-csv", "line 2");
    csv_refused(HEADER "A,\"never closed\n", "bad-csv", "line 2");
    csv_refused(HEADER "A,\"two\nlines\",mm,W1,sideways\n", "unknown-choice", "line 2, column position");
    csv_refused("order\nA\xFF\n", "bad-text", "line 2, column order");
    csv_refused("order\nA,B\n", "bad-csv", "line 2");
}

Test(order, csv_rows_of_one_order_must_agree) {
    csv_refused(
        "order,customer,window,position,place,width,height,substrate,control,draw,system,finish,curtain.drop,"
        "curtain.heading,curtain.fullness,curtain.face\n"
        "A,One,W1,face,outside,900,900,masonry,hand,pair,LARK,WH,900,pencil,2,200\n"
        "A,Two,W2,face,outside,900,900,masonry,hand,pair,LARK,WH,900,pencil,2,200\n",
        "contradiction", "line 3, column customer");
}

Test(order, csv_is_bounded) {
    struct fault fault = {.code = ""};
    char *text = calloc(1, ORDER_CSV_BYTES + 1);
    memset(text, ',', ORDER_CSV_BYTES + 1);
    cr_assert_null(order_csv_read(text, ORDER_CSV_BYTES + 1, &fault), "taken");
    cr_assert_str_eq(fault.code, "too-large", "%s", fault.code);
    memset(text, 'x', 2000);
    cr_assert_null(order_csv_read(text, 2000, &fault), "taken");
    cr_assert_str_eq(fault.code, "too-large", "%s", fault.code);
    free(text);
}
