/* The planner against a real database: what happens when others change things while it solves, when it loses its
 * lease, and when it is asked to stop. SPDX-License-Identifier: Apache-2.0 */
#include "../store/place.h"

#include "desk/planner.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#define DATABASE "planner"

static int requests;

static struct desk *open_desk(void) {
    struct desk_options options = {.database = place_clerk(DATABASE),
                                   .workshop = "w",
                                   .connections = 4,
                                   .connect_timeout_ms = 3000,
                                   .statement_timeout_ms = 10000,
                                   .cups_server = ""};
    struct desk *desk = NULL;
    struct fault fault;
    cr_assert(desk_open(&options, &desk, &fault), "%s: %s", fault.where, fault.message);
    return desk;
}

/* The answer to one request of the one key; the caller frees it. */
static json_t *try_ask(struct desk *desk, const char *verb, json_t *body, bool *good) {
    char id[32], *reply = NULL, *text = json_dumps(body, 0);
    snprintf(id, sizeof id, "r%d", ++requests);
    struct desk_request request = {.key_name = "all",
                                   .verb = verb,
                                   .request_id = id,
                                   .body = text,
                                   .body_size = strlen(text),
                                   .deadline_ms = store_deadline(20000)};
    *good = desk_answer(desk, &request, &reply);
    json_t *answer = json_loads(reply, JSON_DECODE_ANY, NULL);
    free(reply);
    free(text);
    json_decref(body);
    return answer;
}

static json_t *ask(struct desk *desk, const char *verb, json_t *body) {
    bool good;
    json_t *answer = try_ask(desk, verb, body, &good);
    cr_assert(good, "%s: %s", verb, json_string_value(json_object_get(answer, "message")));
    return answer;
}

static void tell(struct desk *desk, const char *verb, json_t *body) {
    json_decref(ask(desk, verb, body));
}

static json_t *demo(const char *file) {
    char path[512];
    json_error_t error;
    snprintf(path, sizeof path, "%s/sql/demo/%s", ELLWAND_SOURCE_DIR, file);
    json_t *document = json_load_file(path, 0, &error);
    cr_assert_not_null(document, "%s: %s", path, error.text);
    return document;
}

static void take_order(struct desk *desk, const char *number) {
    json_t *order = demo("orders/A1001.json");
    json_object_set_new(order, "order", json_string(number));
    tell(desk, "order.take", order);
}

/* One order of two pieces (2130 and 1192 mm), `bars` bars of 6 m, and a plan of them queued. */
static struct desk *open_shop(int bars) {
    place_migrated(DATABASE);
    place_sql(DATABASE, NULL,
              "insert into ellwand.workshop (name, title) values ('w', 'Invented');"
              "insert into ellwand.client_key (workshop, name, public_key, roles)"
              " values (1, 'all', repeat('k', 40), array['desk', 'saw', 'stores', 'manager'])");
    struct desk *desk = open_desk();
    tell(desk, "catalogue.import", json_pack("{s:o}", "catalogue", demo("catalogue.json")));
    tell(desk, "rack.add",
         json_pack("{s:s, s:s, s:s, s:i, s:i}", "kind", "bar", "system", "LARK", "finish", "WH", "length",
                   6000, "count", bars));
    take_order(desk, "FIRST");
    tell(desk, "plan.make", json_pack("{s:s}", "saw", "BENCH"));
    return desk;
}

static void claim(struct planning *planning) {
    struct fault fault;
    bool claimed;
    cr_assert(planner_claim(planning, &claimed, &fault), "%s", fault.message);
    cr_assert(claimed, "the queued plan was not claimed");
}

static json_t *solve(struct planning *planning) {
    struct fault fault;
    cr_assert(planner_read(planning, &fault), "%s", fault.message);
    cr_assert_not_null(planning->problem, "no piece is waiting");
    struct solver *solver = solver_start(planning->problem, 5, &fault);
    cr_assert_not_null(solver, "%s: %s", fault.where, fault.message);
    json_t *result = solver_end(&solver, &fault);
    cr_assert_not_null(result, "%s: %s", fault.where, fault.message);
    return result;
}

static enum planner_stored keep(struct planning *planning, const json_t *result) {
    struct fault fault;
    enum planner_stored stored;
    cr_assert(planner_store(planning, result, &stored, &fault), "%s: %s", fault.where, fault.message);
    return stored;
}

static void expect_state(const char *wanted) {
    char state[256];
    place_sql(DATABASE, state, "select state from ellwand.plan where id = 1");
    cr_assert_str_eq(state, wanted, "the plan is %s, not %s", state, wanted);
}

static void expect_clean(struct desk *desk) {
    json_t *report = ask(desk, "audit", json_object());
    char *findings = json_dumps(json_object_get(report, "findings"), 0);
    cr_assert(json_is_true(json_object_get(report, "clean")), "%s", findings);
    free(findings);
    json_decref(report);
}

static void end_planning(struct planning *planning, json_t *result) {
    json_decref(planning->problem);
    json_decref(result);
}

Test(planner, stores_what_it_solved) {
    struct desk *desk = open_shop(2);
    struct planning planning = {.desk = desk};
    claim(&planning);
    expect_state("solving");
    json_t *result = solve(&planning);
    cr_assert_eq(keep(&planning, result), PLANNER_STORED, "nothing had changed");
    expect_state("ready");
    bool claimed;
    struct fault fault;
    cr_assert(planner_claim(&planning, &claimed, &fault) && !claimed, "a ready plan was claimed");
    expect_clean(desk);
    end_planning(&planning, result);
    desk_close(&desk);
}

Test(planner, sees_an_order_held_meanwhile) {
    struct desk *desk = open_shop(2);
    struct planning planning = {.desk = desk};
    claim(&planning);
    json_t *result = solve(&planning);
    tell(desk, "order.hold", json_pack("{s:s, s:s}", "order", "FIRST", "reason", "colour"));
    cr_assert_eq(keep(&planning, result), PLANNER_CHANGED, "pieces of a held order were planned");
    expect_state("solving");
    struct fault fault;
    cr_assert(planner_read(&planning, &fault), "%s", fault.message);
    cr_assert_null(planning.problem, "pieces of a held order are offered");
    expect_clean(desk);
    end_planning(&planning, result);
    desk_close(&desk);
}

Test(planner, sees_a_bar_written_off_meanwhile) {
    struct desk *desk = open_shop(1);
    struct planning planning = {.desk = desk};
    claim(&planning);
    json_t *result = solve(&planning);
    tell(desk, "rack.write-off", json_pack("{s:i, s:s}", "bar", 1, "reason", "bent"));
    cr_assert_eq(keep(&planning, result), PLANNER_CHANGED, "a bar that is gone was planned");
    expect_state("solving");
    json_decref(result);
    tell(desk, "rack.add",
         json_pack("{s:s, s:s, s:s, s:i}", "kind", "bar", "system", "LARK", "finish", "WH", "length", 5000));
    result = solve(&planning);
    cr_assert_eq(keep(&planning, result), PLANNER_STORED, "the second try fits");
    expect_clean(desk);
    end_planning(&planning, result);
    desk_close(&desk);
}

Test(planner, two_plans_never_share_a_bar) {
    struct desk *desk = open_shop(1);
    struct planning first = {.desk = desk}, second = {.desk = desk};
    claim(&first);
    json_t *one = solve(&first);
    take_order(desk, "SECOND");
    place_sql(DATABASE, NULL,
              "set ellwand.key = 'planner'; set ellwand.reason = 'test';"
              "insert into ellwand.plan (workshop, system, finish, saw, state, time_limit_ms)"
              " values (1, 'LARK', 'WH', 'BENCH', 'queued', 1000)");
    claim(&second);
    json_t *other = solve(&second);
    cr_assert_eq(keep(&first, one), PLANNER_STORED);
    cr_assert_eq(keep(&second, other), PLANNER_CHANGED, "one bar, two plans");
    expect_clean(desk);
    end_planning(&first, one);
    end_planning(&second, other);
    desk_close(&desk);
}

Test(planner, a_lease_that_ran_out_is_taken_over) {
    struct desk *desk = open_shop(2), *other = open_desk();
    snprintf(other->instance, sizeof other->instance, "another");
    struct planning dead = {.desk = desk}, alive = {.desk = other};
    claim(&dead);
    json_t *late = solve(&dead);
    bool claimed, stop;
    struct fault fault;
    cr_assert(planner_claim(&alive, &claimed, &fault) && !claimed, "a plan under lease was claimed");
    place_sql(DATABASE, NULL, "update ellwand.plan set leased_until = now() - interval '1 second'");
    claim(&alive);
    json_t *result = solve(&alive);
    cr_assert(planner_renew(&dead, &stop, &fault) && stop, "who lost the lease was not told to stop");
    cr_assert_eq(keep(&dead, late), PLANNER_LOST, "who lost the lease stored its plan");
    cr_assert_eq(keep(&alive, result), PLANNER_STORED);
    expect_clean(desk);
    end_planning(&dead, late);
    end_planning(&alive, result);
    desk_close(&other);
    desk_close(&desk);
}

Test(planner, stops_when_asked) {
    struct desk *desk = open_shop(2);
    struct planning planning = {.desk = desk};
    claim(&planning);
    json_t *result = solve(&planning);
    struct fault fault;
    bool stop;
    cr_assert(planner_renew(&planning, &stop, &fault) && !stop, "nobody had asked to stop yet");
    tell(desk, "plan.cancel", json_pack("{s:i}", "plan", 1));
    cr_assert(planner_renew(&planning, &stop, &fault) && stop,
              "the solver does not hear that it should stop");
    cr_assert_eq(keep(&planning, result), PLANNER_LOST, "a cancelled plan was stored");
    cr_assert(planner_end(&planning, "dropped", "Stopped as asked.", &fault), "%s", fault.message);
    expect_state("dropped");
    expect_clean(desk);
    end_planning(&planning, result);
    desk_close(&desk);
}

Test(planner, gives_a_plan_back_in_good_order) {
    struct desk *desk = open_shop(2);
    struct planning planning = {.desk = desk};
    struct fault fault;
    claim(&planning);
    cr_assert(planner_requeue(&planning, &fault), "%s", fault.message);
    expect_state("queued");
    claim(&planning);
    desk_close(&desk);
}

/* A desk with its threads: the plan is made without any further word, and closing stops them. */
Test(planner, works_by_itself) {
    struct desk *desk = open_shop(2);
    struct fault fault;
    char state[256] = "";
    int64_t began = store_deadline(0);
    cr_assert(desk_start(desk, &fault), "%s: %s", fault.where, fault.message);
    while (strcmp(state, "ready") != 0 && place_since(began) < 15000)
        place_sql(DATABASE, state, "select state from ellwand.plan where id = 1");
    cr_assert_str_eq(state, "ready", "the plan is %s after 15 s", state);
    expect_clean(desk);
    desk_close(&desk);
    cr_assert_null(desk);
}

/* Bars alike are one line, offcuts stand alone, lengths that can be bought stand there with none. */
Test(planner, problem_document) {
    struct desk *desk = open_shop(3);
    struct planning planning = {.desk = desk};
    struct fault fault;
    tell(desk, "rack.add",
         json_pack("{s:s, s:s, s:s, s:f, s:b, s:i}", "kind", "offcut", "system", "LARK", "finish", "WH",
                   "length", 1874.5, "squared", 1, "count", 2));
    claim(&planning);
    cr_assert(planner_read(&planning, &fault), "%s", fault.message);
    const json_t *bars = json_object_get(planning.problem, "bars"), *bar;
    size_t at, new_lengths = 0, offcuts = 0;
    json_array_foreach((json_t *)bars, at, bar) {
        json_int_t quantity = json_integer_value(json_object_get(bar, "quantity"));
        double length = json_number_value(json_object_get(bar, "length"));
        new_lengths += quantity == 0;
        offcuts += length == 1874.5 && quantity == 1 && json_is_true(json_object_get(bar, "squared"));
        cr_assert(length != 6000 || quantity == 3 || quantity == 0, "bars alike are not one line");
    }
    cr_assert_eq(new_lengths, 3, "the catalogue's three lengths of LARK");
    cr_assert_eq(offcuts, 2);
    /* The saw's figures, as the catalogue has them: kerf 2.2, trim 10. */
    cr_assert_float_eq(json_number_value(json_object_get(planning.problem, "kerf")), 2.2, 1e-9);
    cr_assert_float_eq(json_number_value(json_object_get(planning.problem, "lead_trim")), 10, 1e-9);
    cr_assert_eq(json_array_size(json_object_get(planning.problem, "pieces")), 2);
    json_decref(planning.problem);
    desk_close(&desk);
}
