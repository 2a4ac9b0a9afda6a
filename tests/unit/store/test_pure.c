/* Values, refusals and the times between attempts: what needs no server. SPDX-License-Identifier: Apache-2.0 */
#include "store/backoff.h"
#include "store/hosts.h"
#include "store/refusal.h"
#include "store/store.h"
#include "store/values.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

/* ---- values */

Test(values, each_kind_as_text_in_order) {
    struct store_values values = {0};
    const char *texts[STORE_VALUES];
    struct fault fault;
    json_t *json = json_pack("{s:s}", "a", "\xe2\x82\xac");
    store_text(&values, "");
    store_integer(&values, INT64_MIN);
    store_integer(&values, 0);
    store_boolean(&values, true);
    store_json(&values, json);
    store_null(&values);
    store_text(&values, NULL);
    store_json(&values, NULL);
    json_decref(json);
    cr_assert(store_values_texts(&values, 8, "test", texts, &fault));
    cr_expect_str_eq(texts[0], "");
    cr_expect_str_eq(texts[1], "-9223372036854775808");
    cr_expect_str_eq(texts[2], "0");
    cr_expect_str_eq(texts[3], "t");
    cr_expect_str_eq(texts[4], "{\"a\":\"\xe2\x82\xac\"}");
    for (int i = 5; i < 8; i++)
        cr_expect_null(texts[i]);
    store_values_clear(&values);
    cr_expect_eq(values.count, 0);
}

Test(values, the_copy_of_a_struct_still_holds) {
    struct store_values values = {0}, copy;
    const char *texts[STORE_VALUES];
    struct fault fault;
    store_integer(&values, 42);
    copy = values;
    values = (struct store_values){0};
    cr_assert(store_values_texts(&copy, 1, "test", texts, &fault));
    cr_expect_str_eq(texts[0], "42");
}

Test(values, a_wrong_count_is_told_with_the_statement) {
    struct store_values values = {0};
    const char *texts[STORE_VALUES];
    struct fault fault;
    for (int i = 0; i < STORE_VALUES + 3; i++)
        store_integer(&values, i);
    cr_expect_not(store_values_texts(&values, STORE_VALUES, "order_insert", texts, &fault));
    cr_expect_str_eq(fault.code, "internal");
    cr_expect_str_eq(fault.where, "order_insert");
    cr_expect_not_null(strstr(fault.message, "19"));
    store_values_clear(&values);
    cr_expect_not(store_values_texts(&values, 1, "order_insert", texts, &fault));
}

Test(values, json_that_cannot_be_written_is_not_sent_as_null) {
    struct store_values values = {0};
    const char *texts[STORE_VALUES];
    struct fault fault;
    json_t *circle = json_array();
    json_t *inner = json_array();
    json_array_append(circle, inner);
    json_array_append(inner, circle); /* json_dumps refuses circles */
    store_json(&values, circle);
    cr_expect_not(store_values_texts(&values, 1, "test", texts, &fault));
    json_array_clear(inner);
    json_decref(inner);
    json_decref(circle);
    store_values_clear(&values);
}

/* ---- refusals. States and their meaning: PostgreSQL 15 manual, appendix A, "PostgreSQL Error Codes". */

struct translation {
    const char *state;
    enum refusal_verdict verdict;
    const char *code;
};

Test(refusals, every_state_has_its_code) {
    static const struct translation translations[] = {
        {"40001", REFUSAL_AGAIN, "retry"},            /* serialization_failure */
        {"40P01", REFUSAL_AGAIN, "retry"},            /* deadlock_detected */
        {"40002", REFUSAL_FINAL, "internal"},         /* transaction_integrity_constraint_violation */
        {"0A000", REFUSAL_STALE, "retry"},            /* cached plan must not change result type */
        {"26000", REFUSAL_STALE, "retry"},            /* invalid_sql_statement_name */
        {"57014", REFUSAL_FINAL, "timeout"},          /* query_canceled */
        {"57P01", REFUSAL_LOST, "store-unavailable"}, /* admin_shutdown */
        {"57P02", REFUSAL_LOST, "store-unavailable"}, /* crash_shutdown */
        {"57P03", REFUSAL_LOST, "store-unavailable"}, /* cannot_connect_now */
        {"57P05", REFUSAL_LOST, "store-unavailable"}, /* idle_session_timeout */
        {"08006", REFUSAL_LOST, "store-unavailable"}, /* connection_failure */
        {"08P01", REFUSAL_LOST, "store-unavailable"}, /* protocol_violation */
        {"25P03", REFUSAL_LOST, "store-unavailable"}, /* idle_in_transaction_session_timeout */
        {"25006", REFUSAL_LOST, "store-unavailable"}, /* read_only_sql_transaction */
        {"53300", REFUSAL_FINAL, "store-busy"},       /* too_many_connections */
        {"53100", REFUSAL_FINAL, "store-busy"},       /* disk_full */
        {"23505", REFUSAL_FINAL, "conflict"},         /* unique_violation */
        {"23503", REFUSAL_FINAL, "conflict"},         /* foreign_key_violation */
        {"23514", REFUSAL_FINAL, "conflict"},         /* check_violation */
        {"23502", REFUSAL_FINAL, "conflict"},         /* not_null_violation */
        {"23P01", REFUSAL_FINAL, "conflict"},         /* exclusion_violation */
        {"23001", REFUSAL_FINAL, "conflict"},         /* restrict_violation */
        {"22003", REFUSAL_FINAL, "bad-value"},        /* numeric_value_out_of_range */
        {"22P02", REFUSAL_FINAL, "bad-value"},        /* invalid_text_representation */
        {"42501", REFUSAL_FINAL, "not-allowed"},      /* insufficient_privilege */
        {"42601", REFUSAL_FINAL, "internal"},         /* syntax_error */
        {"XX000", REFUSAL_FINAL, "internal"},         /* internal_error */
        {"P0001", REFUSAL_FINAL, "internal"},         /* raise_exception that is none of ours */
        {NULL, REFUSAL_LOST, "store-unavailable"},
        {"", REFUSAL_LOST, "store-unavailable"},
    };
    for (size_t i = 0; i < sizeof translations / sizeof translations[0]; i++) {
        const struct translation *given = &translations[i];
        struct refusal refusal = {
            .state = given->state, .message = "as the server says", .statement = "order_insert"};
        struct fault fault;
        cr_expect_eq(refusal_explain(&refusal, &fault), given->verdict, "%s", given->state);
        cr_expect_str_eq(fault.code, given->code, "%s gave %s", given->state, fault.code);
        cr_expect_neq(fault.message[0], '\0', "%s has no message", given->state);
    }
}

Test(refusals, our_own_pass_through) {
    struct refusal refusal = {.state = "EW001",
                              .message = "No bar F17.",
                              .detail = "bars[3]",
                              .hint = "no-bar",
                              .statement = "bar_bind"};
    struct fault fault;
    cr_expect_eq(refusal_explain(&refusal, &fault), REFUSAL_FINAL);
    cr_expect_str_eq(fault.code, "no-bar");
    cr_expect_str_eq(fault.where, "bars[3]");
    cr_expect_str_eq(fault.message, "No bar F17.");
    refusal = (struct refusal){.state = "EW001"};
    cr_expect_eq(refusal_explain(&refusal, &fault), REFUSAL_FINAL);
    cr_expect_str_eq(fault.code, "internal");
}

Test(refusals, a_constraint_is_named) {
    struct refusal refusal = {
        .state = "23505", .message = "duplicate key", .constraint = "order_name_key", .statement = "x"};
    struct fault fault;
    refusal_explain(&refusal, &fault);
    cr_expect_str_eq(fault.where, "order_name_key");
    cr_expect_null(strstr(fault.message, "duplicate key"), "that is the server's wording, not ours");
}

/* ---- times between attempts */

Test(backoff, grows_twofold_to_its_most_and_spreads_over_the_upper_half) {
    static const int64_t whole[] = {50, 100, 200, 400, 800, 1600, 3200, 5000, 5000};
    for (unsigned failures = 1; failures <= 9; failures++) {
        cr_expect_eq(backoff_delay(failures, 50, 5000, 0), whole[failures - 1] / 2);
        uint64_t widest = (uint64_t)(whole[failures - 1] - whole[failures - 1] / 2);
        cr_expect_eq(backoff_delay(failures, 50, 5000, widest), whole[failures - 1]);
    }
    cr_expect_leq(backoff_delay(4000000000u, 50, 5000, UINT64_MAX), 5000);
    cr_expect_eq(backoff_delay(0, 50, 5000, 0), 25);
}

/* First outputs for seed 1234567, as listed for SplitMix64 at rosettacode.org ("Pseudo-random numbers/Splitmix64"). */
Test(backoff, random_bits_are_splitmix64) {
    static const uint64_t published[] = {6457827717110365317u, 3203168211198807973u, 9817491932198370423u,
                                         4593380528125082431u, 16408922859458223821u};
    uint64_t state = 1234567;
    for (size_t i = 0; i < 5; i++)
        cr_expect_eq(backoff_random(&state), published[i]);
}

/* ---- hosts. What a list means: PostgreSQL 15 manual, 34.1.1.3, "Specifying Multiple Hosts". */

Test(hosts, a_list_is_taken_apart) {
    struct hosts hosts;
    hosts_read("host=one,/run/two,three port=5432,5433,5434 dbname=x", &hosts);
    cr_assert_eq(hosts.count, 3);
    cr_expect_str_eq(hosts.item[1].host, "/run/two");
    cr_expect_str_eq(hosts.item[1].address, "");
    cr_expect_str_eq(hosts.item[2].port, "5434");
    hosts_read("postgresql://one,two:6000/x", &hosts);
    cr_assert_eq(hosts.count, 2);
    cr_expect_str_eq(hosts.item[0].port, "");
    cr_expect_str_eq(hosts.item[1].port, "6000");
    hosts_read("hostaddr=10.0.0.1,10.0.0.2 port=6000", &hosts);
    cr_assert_eq(hosts.count, 2);
    cr_expect_str_eq(hosts.item[1].host, "");
    cr_expect_str_eq(hosts.item[1].address, "10.0.0.2");
    cr_expect_str_eq(hosts.item[1].port, "6000");
}

Test(hosts, the_rest_is_left_to_libpq) {
    static const char *const texts[] = {"",
                                        "host=one",
                                        "host=a,b port=1,2,3",
                                        "host=a,b hostaddr=10.0.0.1",
                                        "host",
                                        "host=1,2,3,4,5,6,7,8,9"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        struct hosts hosts;
        hosts_read(texts[i], &hosts);
        cr_expect_eq(hosts.count, 0, "%s", texts[i]);
    }
    char text[400] = "host=a,";
    memset(text + 7, 'b', 300);
    struct hosts hosts;
    hosts_read(text, &hosts);
    cr_expect_eq(hosts.count, 0, "a name that does not fit was taken");
}

/* ---- a store without a server */

Test(opening, wrong_options_are_told) {
    static const struct store_options wrong[] = {
        {.conninfo = NULL},
        {.conninfo = "host"},
        {.conninfo = "no_such_keyword=1"},
        {.conninfo = "", .connections = 65},
        {.conninfo = "", .connections = -1},
        {.conninfo = "", .connect_timeout_ms = -1},
        {.conninfo = "", .statement_timeout_ms = -1},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct store *store = NULL;
        struct fault fault;
        cr_expect_not(store_open(&wrong[i], &store, &fault), "options %zu were taken", i);
        cr_expect_str_eq(fault.code, "bad-configuration");
        cr_expect_null(store);
    }
}

Test(opening, no_server_is_no_hindrance_and_told_in_time) {
    struct store_options options = {.conninfo = "host=/nonexistent user=x dbname=x"};
    struct store *store = NULL;
    struct fault fault;
    cr_assert(store_open(&options, &store, &fault));
    for (int i = 0; i < 6; i++) {
        int64_t begun = store_deadline(0);
        cr_expect_null(store_borrow(store, begun + 200, &fault));
        cr_expect_str_eq(fault.code, "store-unavailable");
        cr_expect_lt(store_deadline(0) - begun, 1000);
    }
    struct store_session *none = NULL;
    store_return(store, &none);
    store_close(&store);
    cr_expect_null(store);
    store_close(&store);
}

Test(opening, rows_that_never_came_are_empty) {
    struct store_rows rows = {0};
    cr_expect_eq(rows_count(&rows), 0);
    cr_expect_eq(rows_changed(&rows), 0);
    cr_expect(rows_is_null(&rows, 0, 0));
    cr_expect_str_eq(rows_text(&rows, 0, 0), "");
    cr_expect_eq(rows_integer(&rows, 5, -1), 0);
    cr_expect_not(rows_boolean(&rows, 0, 0));
    cr_expect_null(rows_json(&rows, 0, 0));
    rows_free(&rows);
}
