/* The pool and transactions against a real server. SPDX-License-Identifier: Apache-2.0 */
#include "place.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const struct query one = {"test_one", "select 1", 0};
static const struct query sleep_for = {"test_sleep", "select pg_sleep($1::float8)", 1};
static const struct query echo = {"test_echo",
                                  "select $1::text, $2::bigint, $3::boolean, $4::jsonb, $5::text", 5};
static const struct query read_tally = {"test_read", "select value from public.tally where name = $1", 1};
static const struct query write_tally = {"test_write",
                                         "update public.tally set value = $2::bigint where name = $1", 2};
static const struct query both_sum = {"test_sum", "select sum(value)::bigint from public.tally", 0};

static void make_tally(const char *database) {
    place_empty(database);
    place_sql(database, NULL,
              "create schema ellwand; do $$ begin create role clerk login; exception when duplicate_object "
              "then end $$; "
              "grant usage on schema ellwand to clerk; create table public.tally (name text primary key, "
              "value bigint "
              "constraint never_negative check (value >= 0)); insert into public.tally values ('a', 0), "
              "('b', 0); grant "
              "all on public.tally to clerk");
}

Test(pool, values_come_back_as_they_went) {
    make_tally("values");
    struct store *store = place_store("values", 1);
    struct fault fault;
    struct store_session *session = store_borrow(store, store_deadline(2000), &fault);
    cr_assert_not_null(session, "%s", fault.message);
    json_t *json = json_pack("{s:[i,b,n,s]}", "list", 7, 1, "caf\xc3\xa9 \\ \" '");
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_text(&values, "Gl\xc3\xa4nzende 'Schiene'; --");
    store_integer(&values, INT64_MIN);
    store_boolean(&values, false);
    store_json(&values, json);
    store_null(&values);
    cr_assert(store_run(session, &echo, &values, &rows, &fault), "%s", fault.message);
    cr_expect_str_eq(rows_text(&rows, 0, 0), "Gl\xc3\xa4nzende 'Schiene'; --");
    cr_expect_eq(rows_integer(&rows, 0, 1), INT64_MIN);
    cr_expect_not(rows_boolean(&rows, 0, 2));
    json_t *back = rows_json(&rows, 0, 3);
    cr_expect(json_equal(back, json));
    cr_expect(rows_is_null(&rows, 0, 4));
    cr_expect_eq(values.count, 0, "the values were not emptied");
    json_decref(back);
    json_decref(json);
    rows_free(&rows);
    store_return(store, &session);
    store_close(&store);
}

/* Larger than any socket buffer in both directions, so that sending and receiving must take turns. */
Test(pool, large_values_pass) {
    make_tally("large");
    struct store *store = place_store("large", 1);
    struct fault fault;
    size_t size = 24u << 20;
    char *text = malloc(size + 1);
    memset(text, 'x', size);
    text[size] = '\0';
    static const struct query length = {"test_length", "select length($1::text), $1::text", 1};
    struct store_session *session = store_borrow(store, store_deadline(60000), &fault);
    cr_assert_not_null(session, "%s", fault.message);
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_text(&values, text);
    cr_assert(store_run_one(session, &length, &values, &rows, &fault), "%s", fault.message);
    cr_expect_eq(rows_integer(&rows, 0, 0), (int64_t)size);
    cr_expect_eq(strlen(rows_text(&rows, 0, 1)), size);
    rows_free(&rows);
    free(text);
    store_return(store, &session);
    store_close(&store);
}

Test(pool, refusals_have_codes_and_places) {
    make_tally("refusals");
    struct store *store = place_store("refusals", 1);
    struct fault fault;
    static const struct {
        struct query query;
        const char *code, *where;
    } cases[] = {
        {{"test_check", "update public.tally set value = -1 where name = 'a'", 0},
         "conflict",
         "never_negative"},
        {{"test_twice", "insert into public.tally values ('a', 1)", 0}, "conflict", "tally_pkey"},
        {{"test_range", "select 'x'::integer", 0}, "bad-value", "test_range"},
        {{"test_syntax", "selec 1", 0}, "internal", "test_syntax"},
        {{"test_rights", "create table ellwand.x (y int)", 0}, "not-allowed", "test_rights"},
        {{"test_own",
          "do $$ begin raise exception using errcode = 'EW001', message = 'No.', detail = 'bar F17', hint = "
          "'no-bar'; end $$",
          0},
         "no-bar",
         "bar F17"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        cr_expect_not(place_run(store, 2000, &cases[i].query, NULL, NULL, &fault), "%s", cases[i].query.name);
        cr_expect_str_eq(fault.code, cases[i].code, "%s: %s %s", cases[i].query.name, fault.code,
                         fault.message);
        cr_expect_str_eq(fault.where, cases[i].where, "%s: %s", cases[i].query.name, fault.where);
    }
    cr_expect(place_run(store, 2000, &one, NULL, NULL, &fault),
              "the connection did not outlive the refusals");
    store_close(&store);
}

/* ---- many at once */

struct crowd {
    struct store *store;
    atomic_int done, most, inside;
};

static void *come_and_go(void *state) {
    struct crowd *crowd = state;
    for (int i = 0; i < 50; i++) {
        struct fault fault;
        struct store_session *session = store_borrow(crowd->store, store_deadline(30000), &fault);
        if (session == NULL)
            break;
        int inside = atomic_fetch_add(&crowd->inside, 1) + 1;
        int most = atomic_load(&crowd->most);
        while (inside > most && !atomic_compare_exchange_weak(&crowd->most, &most, inside))
            ;
        if (store_run_nothing(session, &one, NULL, &fault))
            atomic_fetch_add(&crowd->done, 1);
        atomic_fetch_sub(&crowd->inside, 1);
        store_return(crowd->store, &session);
    }
    return NULL;
}

Test(pool, sixteen_threads_share_three_connections) {
    make_tally("crowd");
    struct crowd crowd = {.store = place_store("crowd", 3)};
    pthread_t threads[16];
    for (int i = 0; i < 16; i++)
        cr_assert_eq(pthread_create(&threads[i], NULL, come_and_go, &crowd), 0);
    for (int i = 0; i < 16; i++)
        pthread_join(threads[i], NULL);
    cr_expect_eq(atomic_load(&crowd.done), 16 * 50);
    cr_expect_leq(atomic_load(&crowd.most), 3);
    char connected[256];
    place_sql("crowd", connected,
              "select count(*) from pg_stat_activity where datname = 'crowd' and usename = 'clerk'");
    cr_expect_leq(strtol(connected, NULL, 10), 3);
    store_close(&crowd.store);
}

Test(pool, no_connection_in_time_is_busy) {
    make_tally("busy");
    struct store *store = place_store("busy", 1);
    struct fault fault;
    struct store_session *session = store_borrow(store, store_deadline(2000), &fault);
    cr_assert_not_null(session);
    int64_t begun = store_deadline(0);
    cr_expect_null(store_borrow(store, store_deadline(150), &fault));
    cr_expect_str_eq(fault.code, "store-busy");
    cr_expect(place_since(begun) >= 150 && place_since(begun) < 1000, "%d ms", (int)place_since(begun));
    store_return(store, &session);
    cr_expect(place_run(store, 1000, &one, NULL, NULL, &fault));
    store_close(&store);
}

/* ---- time limits */

Test(pool, a_late_statement_is_taken_back_and_the_connection_lives) {
    make_tally("late");
    struct store *store = place_store("late", 1);
    struct fault fault;
    char before[256], after[256];
    static const struct query pid = {"test_pid", "select pg_backend_pid()", 0};
    cr_assert(place_run(store, 2000, &pid, NULL, before, &fault));
    for (int i = 0; i < 5; i++) {
        struct store_values values = {0};
        store_text(&values, "30");
        int64_t begun = store_deadline(0);
        cr_expect_not(place_run(store, 100, &sleep_for, &values, NULL, &fault));
        cr_expect_str_eq(fault.code, "timeout");
        cr_expect_lt(place_since(begun), 1500);
    }
    cr_assert(place_run(store, 2000, &pid, NULL, after, &fault));
    cr_expect_str_eq(before, after, "the cancelled statement cost the connection");
    char running[256];
    place_sql("late", running,
              "select count(*) from pg_stat_activity where usename = 'clerk' and state = 'active'");
    cr_expect_str_eq(running, "0", "the server still sleeps");
    store_close(&store);
}

Test(pool, the_servers_own_limit_counts_too) {
    make_tally("limits");
    struct store_options options = {
        .conninfo = place_clerk("limits"), .connections = 1, .statement_timeout_ms = 100};
    struct store *store = NULL;
    struct fault fault;
    cr_assert(store_open(&options, &store, &fault));
    struct store_values values = {0};
    store_text(&values, "30");
    cr_expect_not(place_run(store, 20000, &sleep_for, &values, NULL, &fault));
    cr_expect_str_eq(fault.code, "timeout");
    cr_expect(place_run(store, 2000, &one, NULL, NULL, &fault));
    store_close(&store);
}

/* ---- transactions */

/* Two transactions meet after their first step, in their first run. */
struct pair {
    struct store *store;
    const char *first, *second;
    bool (*work)(struct store_session *session, void *state, struct fault *fault);
    pthread_barrier_t *barrier;
    int runs;
    bool good;
};

/* The last place goes to one only: who finds the sum at 0 takes it. Two at once would both, were they not told apart. */
static bool take_last_place(struct store_session *session, void *state, struct fault *fault) {
    struct pair *pair = state;
    struct store_values values = {0};
    struct store_rows rows = {0};
    if (!store_run(session, &both_sum, NULL, &rows, fault))
        return false;
    bool vacant = rows_integer(&rows, 0, 0) == 0;
    rows_free(&rows);
    if (pair->runs++ == 0)
        pthread_barrier_wait(pair->barrier);
    if (!vacant)
        return true;
    store_text(&values, pair->first);
    store_integer(&values, 1);
    return store_run_nothing(session, &write_tally, &values, fault);
}

static bool take_two(struct store_session *session, void *state, struct fault *fault) {
    struct pair *pair = state;
    static const struct query lock = {"test_lock", "select pg_advisory_xact_lock(hashtext($1))", 1};
    struct store_values values = {0};
    store_text(&values, pair->first);
    if (!store_run_nothing(session, &lock, &values, fault))
        return false;
    if (pair->runs++ == 0)
        pthread_barrier_wait(pair->barrier);
    store_text(&values, pair->second);
    return store_run_nothing(session, &lock, &values, fault);
}

static void *run_pair(void *state) {
    struct pair *pair = state;
    struct fault fault;
    pair->good = store_transaction(pair->store, store_deadline(20000), pair->work, pair, &fault);
    return NULL;
}

static void run_both(const char *database, bool (*work)(struct store_session *, void *, struct fault *)) {
    make_tally(database);
    struct store *store = place_store(database, 2);
    pthread_barrier_t barrier;
    pthread_barrier_init(&barrier, NULL, 2);
    struct pair pairs[2] = {{.store = store, .first = "a", .second = "b", .work = work, .barrier = &barrier},
                            {.store = store, .first = "b", .second = "a", .work = work, .barrier = &barrier}};
    pthread_t threads[2];
    for (int i = 0; i < 2; i++)
        cr_assert_eq(pthread_create(&threads[i], NULL, run_pair, &pairs[i]), 0);
    for (int i = 0; i < 2; i++) {
        pthread_join(threads[i], NULL);
        cr_expect(pairs[i].good);
    }
    cr_expect_geq(pairs[0].runs + pairs[1].runs, 3, "there was nothing to repeat");
    pthread_barrier_destroy(&barrier);
    store_close(&store);
}

Test(transactions, a_serialisation_failure_is_repeated) {
    char sum[256];
    run_both("serial", take_last_place);
    place_sql("serial", sum, "select sum(value) from tally");
    cr_expect_str_eq(sum, "1", "two took the last place");
}

Test(transactions, a_deadlock_is_repeated) {
    run_both("deadlock", take_two);
}

static bool write_then_refuse(struct store_session *session, void *state, struct fault *fault) {
    struct store_values values = {0};
    (void)state;
    store_text(&values, "a");
    store_integer(&values, 99);
    return store_run_nothing(session, &write_tally, &values, fault) &&
           fault_set(fault, "changed-my-mind", "", "No.");
}

/* Ignores that a statement failed, and says that all is well. */
static bool look_away(struct store_session *session, void *state, struct fault *fault) {
    struct store_values values = {0};
    struct fault ignored;
    (void)state;
    (void)fault;
    store_text(&values, "a");
    store_integer(&values, -5);
    bool good = store_run_nothing(session, &write_tally, &values, &ignored);
    return !good && !store_run_nothing(session, &one, NULL, &ignored) &&
           strcmp(ignored.code, "conflict") == 0;
}

static bool write_in_reading(struct store_session *session, void *state, struct fault *fault) {
    return write_then_refuse(session, state, fault);
}

Test(transactions, what_fails_leaves_nothing) {
    make_tally("nothing");
    struct store *store = place_store("nothing", 1);
    struct fault fault;
    char value[256];
    cr_expect_not(store_transaction(store, store_deadline(2000), write_then_refuse, NULL, &fault));
    cr_expect_str_eq(fault.code, "changed-my-mind");
    cr_expect_not(store_transaction(store, store_deadline(2000), look_away, NULL, &fault));
    cr_expect_str_eq(fault.code, "conflict");
    cr_expect_str_eq(fault.where, "never_negative");
    cr_expect_not(store_reading(store, store_deadline(500), write_in_reading, NULL, &fault));
    place_sql("nothing", value, "select sum(value) from tally");
    cr_expect_str_eq(value, "0");
    cr_expect(place_run(store, 2000, &one, NULL, NULL, &fault));
    store_close(&store);
}

static bool sleep_long(struct store_session *session, void *state, struct fault *fault) {
    struct store_values values = {0};
    (void)state;
    store_text(&values, "30");
    return store_run_nothing(session, &sleep_for, &values, fault);
}

Test(transactions, a_deadline_ends_the_work_and_rolls_back) {
    make_tally("deadline");
    struct store *store = place_store("deadline", 1);
    struct fault fault;
    int64_t begun = store_deadline(0);
    cr_expect_not(store_transaction(store, store_deadline(200), sleep_long, NULL, &fault));
    cr_expect_str_eq(fault.code, "timeout");
    cr_expect_lt(place_since(begun), 1500);
    char open[256];
    place_sql("deadline", open,
              "select count(*) from pg_stat_activity where datname = 'deadline' and state like 'idle in%%'");
    cr_expect_str_eq(open, "0");
    store_close(&store);
}

static bool tell(struct store_session *session, void *state, struct fault *fault) {
    static const struct query told = {
        "test_told",
        "select current_setting('ellwand.key', true) || '/' || current_setting('ellwand.request', true)", 0};
    struct store_rows rows = {0};
    if ((state != NULL && !store_identity(session, "front desk", "r-17", fault)) ||
        !store_run_one(session, &told, NULL, &rows, fault))
        return false;
    bool right = strcmp(rows_text(&rows, 0, 0), state != NULL ? "front desk/r-17" : "/") == 0;
    rows_free(&rows);
    return right || fault_set(fault, "wrong", "", "Somebody else's identity.");
}

Test(transactions, identity_lasts_for_one_transaction) {
    make_tally("identity");
    struct store *store = place_store("identity", 1);
    struct fault fault;
    int set = 1;
    cr_expect(store_transaction(store, store_deadline(2000), tell, &set, &fault), "%s", fault.message);
    cr_expect(store_transaction(store, store_deadline(2000), tell, NULL, &fault), "%s", fault.message);
    struct store_values values = {0};
    store_text(&values, "a");
    cr_expect(place_run(store, 2000, &read_tally, &values, NULL, &fault));
    store_close(&store);
}
