/* What the store makes of libpq's rarer answers. SPDX-License-Identifier: Apache-2.0 */
#include "fake_libpq.h"

#include "store/store.h"

#include <criterion/criterion.h>
#include <string.h>

static const struct query write_row = {"write_row", "-", 0};
static int runs;

static bool work(struct store_session *session, void *state, struct fault *fault) {
    (void)state;
    runs++;
    return store_run_nothing(session, &write_row, NULL, fault);
}

static struct store *open_store(void) {
    struct store_options options = {.conninfo = "-", .connections = 1};
    struct store *store = NULL;
    struct fault fault;
    cr_assert(store_open(&options, &store, &fault));
    return store;
}

/* Runs one transaction and closes; nothing may be left over. "" is success. */
static void expect_transaction(const char *code, int times) {
    struct store *store = open_store();
    struct fault fault = {0};
    int64_t begun = store_deadline(0);
    bool good = store_transaction(store, begun + 300, work, NULL, &fault);
    int64_t took = store_deadline(0) - begun;
    store_close(&store);
    cr_expect_str_eq(good ? "" : fault.code, code, "%s: %s", fault.code, fault.message);
    cr_expect_eq(runs, times, "it ran %d times", runs);
    cr_expect_lt(took, 3000, "it took %d ms", (int)took);
    cr_expect_eq(fake_open(), 0, "a connection is left open");
    cr_expect_eq(fake_results(), 0, "%d results were not cleared", fake_results());
}

Test(libpq, without_faults) {
    expect_transaction("", 1);
    cr_expect_eq(fake_connections(), 1);
    cr_expect_eq(fake_sent("session_setup"), 1);
    cr_expect_eq(fake_sent("session_commit"), 1);
}

/* ---- commit: whether the work was kept cannot be known, so it is neither claimed nor repeated */

static const enum fake_event unknown_ends[] = {FAKE_LOST, FAKE_UNSENT, FAKE_UNFLUSHED, FAKE_DEAF,
                                               FAKE_NO_MEMORY};

static void lose_commit(enum fake_event event) {
    fake_rule("session_commit", 1, event, NULL);
    expect_transaction("outcome-unknown", 1);
    cr_expect_eq(fake_sent("session_commit"), 1);
    cr_expect_eq(fake_sent("session_rollback"), 0);
}

Test(commit, connection_lost) {
    lose_commit(unknown_ends[0]);
}
Test(commit, not_sent) {
    lose_commit(unknown_ends[1]);
}
Test(commit, not_flushed) {
    lose_commit(unknown_ends[2]);
}
Test(commit, no_answer) {
    lose_commit(unknown_ends[3]);
}
Test(commit, no_memory_for_the_answer) {
    lose_commit(unknown_ends[4]);
}

Test(commit, server_stops_during_it) {
    fake_rule("session_commit", 1, FAKE_FATAL, "57P01");
    expect_transaction("outcome-unknown", 1);
}

Test(commit, a_serialisation_failure_is_repeated) {
    fake_rule("session_commit", 1, FAKE_ERROR, "40001");
    fake_rule("session_commit", 2, FAKE_ERROR, "40P01");
    expect_transaction("", 3);
    cr_expect_eq(fake_connections(), 1);
}

Test(commit, a_deferred_constraint_is_a_conflict) {
    fake_rule("session_commit", 1, FAKE_ERROR, "23505");
    expect_transaction("conflict", 1);
}

Test(commit, answered_with_a_rollback_is_no_success) {
    fake_rule("session_commit", 1, FAKE_ANSWER, "ROLLBACK");
    expect_transaction("internal", 1);
}

/* ---- before commit nothing is kept, so the work is repeated on another connection */

Test(begin, connection_lost) {
    fake_rule("session_begin", 1, FAKE_LOST, NULL);
    expect_transaction("", 1);
    cr_expect_eq(fake_connections(), 2);
}

Test(statement, connection_lost) {
    fake_rule("write_row", 1, FAKE_LOST, NULL);
    fake_rule("write_row", 2, FAKE_FATAL, "57P02");
    expect_transaction("", 3);
    cr_expect_eq(fake_connections(), 3);
}

Test(statement, connection_lost_each_time) {
    fake_rule("write_row", 0, FAKE_LOST, NULL);
    expect_transaction("store-unavailable", 4);
    cr_expect_eq(fake_sent("session_commit"), 0);
}

Test(statement, prepared_one_is_forgotten) {
    fake_rule("write_row", 1, FAKE_ERROR, "26000");
    expect_transaction("", 2);
    cr_expect_eq(fake_connections(), 2, "the connection that forgot was used again");
}

Test(statement, in_many_parts) {
    fake_rule("write_row", 1, FAKE_PARTIAL, NULL);
    expect_transaction("", 1);
    cr_expect_gt(fake_turns(), 90, "input was not read while output was stuck");
}

Test(statement, no_memory_for_the_result) {
    fake_rule("write_row", 1, FAKE_NO_MEMORY, NULL);
    expect_transaction("out-of-memory", 1);
    cr_expect_eq(fake_sent("session_commit"), 0);
}

Test(statement, an_error_after_a_success_counts) {
    fake_rule("write_row", 1, FAKE_ERROR_LATER, "23514");
    expect_transaction("conflict", 1);
}

Test(statement, a_copy_is_given_up) {
    fake_rule("write_row", 0, FAKE_COPY, NULL);
    expect_transaction("store-unavailable", 4);
}

/* ---- time limits */

Test(late, cancelled_and_rolled_back_on_the_same_connection) {
    fake_rule("write_row", 1, FAKE_SILENT, NULL);
    expect_transaction("timeout", 1);
    cr_expect_eq(fake_sent("session_rollback"), 1);
}

Test(late, deaf_to_the_cancel) {
    fake_rule("write_row", 1, FAKE_DEAF, NULL);
    expect_transaction("timeout", 1);
    cr_expect_eq(fake_sent("session_rollback"), 0, "a connection with an answer outstanding was used");
}

Test(late, no_memory_to_cancel) {
    fake_rule("write_row", 1, FAKE_SILENT, NULL);
    fake_rule("cancel", 1, FAKE_ERROR, NULL);
    expect_transaction("timeout", 1);
    cr_expect_eq(fake_sent("session_rollback"), 0);
}

/* ---- connecting */

Test(connect, no_memory) {
    fake_rule("connect", 0, FAKE_ERROR, NULL);
    expect_transaction("out-of-memory", 0);
}

Test(connect, once_without_memory) {
    fake_rule("connect", 1, FAKE_ERROR, NULL);
    expect_transaction("", 1);
}

Test(connect, set_up_fails) {
    fake_rule("session_setup", 1, FAKE_LOST, NULL);
    fake_rule("nonblocking", 2, FAKE_ERROR, NULL);
    expect_transaction("", 1);
    cr_expect_eq(fake_connections(), 3);
}

Test(rollback, fails_and_the_connection_is_not_used_again) {
    struct store *store = open_store();
    struct fault fault;
    fake_rule("write_row", 1, FAKE_ERROR, "23505");
    fake_rule("session_rollback", 1, FAKE_DEAF, NULL);
    cr_expect_not(store_transaction(store, store_deadline(300), work, NULL, &fault));
    cr_expect_str_eq(fault.code, "conflict");
    cr_expect(store_transaction(store, store_deadline(300), work, NULL, &fault));
    cr_expect_eq(fake_connections(), 2);
    store_close(&store);
    cr_expect_eq(fake_open(), 0);
}

/* ---- what is kept back and goes out with the commit: from the second transaction of a connection on, when all is prepared */

static const struct query tell = {"tell", "-", 0};

static bool work_later(struct store_session *session, void *state, struct fault *fault) {
    (void)state;
    runs++;
    return store_run_later(session, &write_row, NULL, fault) && store_run_later(session, &tell, NULL, fault);
}

/* Of three such transactions on one store the second ends with `code`, the others well. */
static void expect_second(const char *code, int times, int connections) {
    struct store *store = open_store();
    struct fault fault = {0};
    cr_assert(store_transaction(store, store_deadline(3000), work_later, NULL, &fault), "%s", fault.message);
    runs = 0;
    bool good = store_transaction(store, store_deadline(300), work_later, NULL, &fault);
    cr_expect_str_eq(good ? "" : fault.code, code, "%s: %s", fault.code, fault.message);
    cr_expect_eq(runs, times, "it ran %d times", runs);
    cr_expect_eq(fake_connections(), connections, "%d connections", fake_connections());
    cr_expect(store_transaction(store, store_deadline(3000), work_later, NULL, &fault), "%s", fault.message);
    store_close(&store);
    cr_expect_eq(fake_open(), 0, "a connection is left open");
    cr_expect_eq(fake_results(), 0, "%d results were not cleared", fake_results());
}

Test(later, goes_out_with_the_commit) {
    expect_second("", 1, 1);
    cr_expect_eq(fake_sent("write_row"), 3);
    cr_expect_eq(fake_sent("tell"), 3);
    cr_expect_eq(fake_sent("session_commit"), 3);
}

Test(later, refused_is_rolled_back_on_the_same_connection) {
    fake_rule("write_row", 2, FAKE_ERROR, "23505");
    expect_second("conflict", 1, 1);
    cr_expect_eq(fake_sent("session_rollback"), 1);
}

Test(later, a_serialisation_failure_is_repeated) {
    fake_rule("tell", 2, FAKE_ERROR, "40001");
    expect_second("", 2, 1);
}

Test(later, not_sent) {
    fake_rule("tell", 2, FAKE_UNSENT, NULL);
    expect_second("", 2, 2);
}

Test(later, begin_is_lost) {
    fake_rule("session_begin", 2, FAKE_LOST, NULL);
    expect_second("outcome-unknown", 1, 1);
}

Test(later, commit_is_lost) {
    fake_rule("session_commit", 2, FAKE_LOST, NULL);
    expect_second("outcome-unknown", 1, 1);
}

Test(later, no_answer) {
    fake_rule("write_row", 2, FAKE_SILENT, NULL);
    expect_second("outcome-unknown", 1, 1);
}

Test(later, no_memory_for_an_answer) {
    fake_rule("write_row", 2, FAKE_NO_MEMORY, NULL);
    expect_second("outcome-unknown", 1, 1);
}
