/* Migrations against a real server. SPDX-License-Identifier: Apache-2.0 */
#include "place.h"

#include "store/migrate.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <stdio.h>
#include <string.h>

enum { LIST = 3 };
static const struct migration list[LIST] = {
    {1, "first", "aaaa",
     "-- First.\ncreate table ellwand.one (id integer); insert into ellwand.one values (1);"},
    {2, "second", "bbbb", "-- Second.\ninsert into one values (2); select pg_sleep(0.3);"},
    {20, "third", "cccc", "-- Third.\ncreate table two (id integer);"},
};

static void count_step(void *state, int number, const char *name) {
    int *steps = state;
    (void)number;
    (void)name;
    ++*steps;
}

static bool apply(const char *database, const struct migration *these, size_t count, int *steps,
                  struct fault *fault) {
    *steps = 0;
    return migrate_run_these(place_owner(database), these, count, count_step, steps, fault);
}

static void expect_value(const char *database, const char *sql, const char *expected) {
    char value[256];
    place_sql(database, value, "%s", sql);
    cr_expect_str_eq(value, expected, "%s gave %s, not %s", sql, value, expected);
}

Test(migrate, each_once_in_order_and_what_is_new_later) {
    place_empty("once");
    struct fault fault;
    int steps;
    cr_assert(apply("once", list, 2, &steps, &fault), "%s", fault.message);
    cr_expect_eq(steps, 2);
    cr_assert(apply("once", list, 2, &steps, &fault), "%s", fault.message);
    cr_expect_eq(steps, 0);
    cr_assert(apply("once", list, LIST, &steps, &fault), "%s", fault.message);
    cr_expect_eq(steps, 1);
    expect_value("once",
                 "select string_agg(number || name || checksum, ' ' order by applied_at, number) from "
                 "ellwand.migration",
                 "1firstaaaa 2secondbbbb 20thirdcccc");
    expect_value("once", "select count(*) from ellwand.one", "2");
}

static void *apply_all(void *state) {
    struct fault fault;
    int *steps = state;
    if (!apply("together", list, LIST, steps, &fault))
        *steps = -1;
    return NULL;
}

Test(migrate, two_at_once_take_turns) {
    place_empty("together");
    pthread_t threads[4];
    int steps[4], sum = 0;
    for (int i = 0; i < 4; i++)
        cr_assert_eq(pthread_create(&threads[i], NULL, apply_all, &steps[i]), 0);
    for (int i = 0; i < 4; i++) {
        pthread_join(threads[i], NULL);
        cr_expect(steps[i] == 0 || steps[i] == LIST, "%d steps", steps[i]);
        sum += steps[i];
    }
    cr_expect_eq(sum, LIST);
    expect_value("together", "select count(*) from ellwand.one", "2");
}

Test(migrate, a_changed_one_is_refused_by_name) {
    place_empty("changed");
    struct fault fault;
    int steps;
    cr_assert(apply("changed", list, 2, &steps, &fault));
    struct migration other[LIST] = {list[0], list[1], list[2]};
    other[1].checksum = "dddd";
    cr_expect_not(apply("changed", other, LIST, &steps, &fault));
    cr_expect_str_eq(fault.code, "migration-changed");
    cr_expect_str_eq(fault.where, "second");
    cr_expect_eq(steps, 0);
    cr_expect_not(apply("changed", list, 1, &steps, &fault));
    cr_expect_str_eq(fault.code, "schema-ahead");
    expect_value("changed", "select to_regclass('ellwand.two') is null", "t");
}

Test(migrate, a_failing_one_leaves_nothing_and_keeps_those_before) {
    place_empty("failing");
    struct fault fault;
    int steps;
    const struct migration broken[2] = {
        list[0], {2, "broken", "eeee", "-- Broken.\ncreate table ellwand.half (id integer); select 1 / 0;"}};
    cr_expect_not(apply("failing", broken, 2, &steps, &fault));
    cr_expect_str_eq(fault.code, "migration-failed");
    cr_expect_str_eq(fault.where, "broken");
    cr_expect_not_null(strstr(fault.message, "division by zero"), "%s", fault.message);
    cr_expect_eq(steps, 1);
    expect_value("failing", "select to_regclass('ellwand.half') is null", "t");
    cr_expect(apply("failing", list, LIST, &steps, &fault), "%s", fault.message);
    cr_expect_eq(steps, 2);
}

Test(migrate, a_commit_within_one_is_refused) {
    place_empty("commits");
    struct fault fault;
    int steps;
    const struct migration ends[1] = {
        {1, "ends", "ffff",
         "-- Ends its transaction.\ncreate table ellwand.half (id integer); commit; select 1;"}};
    cr_expect_not(apply("commits", ends, 1, &steps, &fault));
    cr_expect_str_eq(fault.code, "migration-failed");
}

Test(migrate, no_server_is_said) {
    struct fault fault;
    cr_expect_not(migrate_run("host=/nonexistent dbname=x", NULL, NULL, &fault));
    cr_expect_str_eq(fault.code, "store-unavailable");
    cr_expect_not(migrate_run("host", NULL, NULL, &fault));
}

/* ---- what the daemon sees at its start */

static void expect_check(const char *database, const char *code) {
    struct fault fault = {.code = "fine"};
    struct store *store = place_store(database, 1);
    bool good = migrate_check(store, &fault);
    cr_expect_str_eq(fault.code, code, "%s: %s", fault.code, fault.message);
    cr_expect_eq(good, strcmp(code, "fine") == 0);
    store_close(&store);
}

Test(migrate, the_daemon_sees_whether_the_schema_fits) {
    place_migrated("fits");
    place_empty("behind");
    expect_check("fits", "fine");
    expect_check("behind", "schema-behind");
    place_sql("fits", NULL, "insert into ellwand.migration values (9999, 'tomorrow', 'x')");
    expect_check("fits", "schema-ahead");
    place_sql("fits", NULL, "delete from ellwand.migration where number = 9999");
    expect_check("fits", "fine");
    place_sql("fits", NULL, "update ellwand.migration set checksum = 'x' where number = 2");
    expect_check("fits", "migration-changed");
    place_sql("fits", NULL, "delete from ellwand.migration where number = 2");
    expect_check("fits", "schema-behind");
    place_sql("fits", NULL, "drop schema ellwand cascade");
    expect_check("fits", "schema-behind");
}
