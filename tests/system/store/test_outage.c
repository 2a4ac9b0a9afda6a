/* The server stops, dies, hangs and comes back. SPDX-License-Identifier: Apache-2.0 */
#include "place.h"

#include <criterion/criterion.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

static const struct query one = {"test_one", "select 1", 0};
static const struct query pid = {"test_pid", "select pg_backend_pid()", 0};
static const struct query add = {"test_add", "insert into public.mark values ($1)", 1};
static const struct query stop_me = {"test_stop", "select pg_terminate_backend(pg_backend_pid())", 0};

static void make_marks(const char *database) {
    place_empty(database);
    place_sql(database, NULL,
              "create schema ellwand; do $$ begin create role clerk login; exception when duplicate_object "
              "then end $$; "
              "grant usage on schema ellwand to clerk; create table public.mark (text text); grant all on "
              "public.mark to "
              "clerk");
}

static int64_t marks(const char *database) {
    char value[256];
    place_sql(database, value, "select count(*) from mark");
    return atoll(value);
}

struct log {
    pthread_mutex_t lock;
    char text[4096];
};

static void note(void *state, const char *line) {
    struct log *log = state;
    pthread_mutex_lock(&log->lock);
    size_t used = strlen(log->text);
    snprintf(log->text + used, sizeof log->text - used, "%s\n", line);
    pthread_mutex_unlock(&log->lock);
}

static struct store *logged_store(const char *database, struct log *log) {
    struct store_options options = {
        .conninfo = place_clerk(database), .connections = 2, .log = note, .log_state = log};
    struct store *store = NULL;
    struct fault fault;
    cr_assert(store_open(&options, &store, &fault));
    return store;
}

Test(outage, a_dead_server_is_said_in_time_and_a_living_one_is_found_again, .timeout = 60) {
    make_marks("outage");
    struct log log = {.lock = PTHREAD_MUTEX_INITIALIZER};
    struct store *store = logged_store("outage", &log);
    struct fault fault;
    cr_assert(place_run(store, 2000, &one, NULL, NULL, &fault));
    place_server("postgres_kill");
    for (int i = 0; i < 20; i++) {
        int64_t begun = store_deadline(0);
        cr_expect_not(place_run(store, 500, &one, NULL, NULL, &fault));
        cr_expect_str_eq(fault.code, "store-unavailable");
        cr_expect_lt(place_since(begun), 700);
    }
    place_server("postgres_start");
    bool back = false;
    for (int64_t limit = store_deadline(8000); !back && store_deadline(0) < limit;)
        back = place_run(store, 1000, &one, NULL, NULL, &fault);
    cr_expect(back, "%s", fault.message);
    cr_expect_not_null(strstr(log.text, "answers again"), "the log says: %s", log.text);
    store_close(&store);
}

Test(outage, an_orderly_restart_costs_no_request, .timeout = 60) {
    make_marks("restart");
    struct store *store = place_store("restart", 2);
    struct fault fault;
    for (int i = 0; i < 3; i++) {
        cr_assert(place_run(store, 2000, &one, NULL, NULL, &fault), "%s", fault.message);
        place_server("postgres_stop");
        place_server("postgres_start");
    }
    cr_expect(place_run(store, 2000, &one, NULL, NULL, &fault), "%s", fault.message);
    store_close(&store);
}

/* The backend or the whole server is halted, as by a debugger or a dead disk: connections stand and nothing answers. */
Test(outage, a_halted_backend_is_given_up_in_time, .timeout = 60) {
    make_marks("halted");
    struct store *store = place_store("halted", 1);
    struct fault fault;
    char text[256];
    cr_assert(place_run(store, 2000, &pid, NULL, text, &fault));
    pid_t halted = (pid_t)strtol(text, NULL, 10);
    cr_assert_eq(kill(halted, SIGSTOP), 0);
    int64_t begun = store_deadline(0);
    cr_expect_not(place_run(store, 300, &one, NULL, NULL, &fault));
    cr_expect_str_eq(fault.code, "timeout");
    cr_expect_lt(place_since(begun), 3500);
    cr_expect(place_run(store, 2000, &one, NULL, NULL, &fault), "a fresh connection should do: %s",
              fault.message);
    kill(halted, SIGCONT);
    store_close(&store);
}

Test(outage, a_halted_server_is_given_up_in_time, .timeout = 60) {
    make_marks("stuck");
    struct store *store = place_store("stuck", 2);
    struct fault fault;
    char text[256];
    cr_assert(place_run(store, 2000, &one, NULL, NULL, &fault));
    struct store_session *session = store_borrow(store, store_deadline(400), &fault);
    cr_assert_not_null(session);
    struct store_rows rows = {0};
    cr_assert(store_run(session, &pid, NULL, &rows, &fault));
    pid_t backend = (pid_t)rows_integer(&rows, 0, 0);
    rows_free(&rows);
    FILE *file = popen("head -n 1 $SERVICES_DIR/postgres/postmaster.pid", "r");
    cr_assert(file != NULL && fgets(text, sizeof text, file) != NULL);
    pclose(file);
    pid_t postmaster = (pid_t)strtol(text, NULL, 10);
    cr_assert(kill(postmaster, SIGSTOP) == 0 && kill(backend, SIGSTOP) == 0);
    int64_t begun = store_deadline(0);
    cr_expect_not(store_run_nothing(session, &one, NULL, &fault));
    cr_expect_str_eq(fault.code, "timeout");
    cr_expect_lt(place_since(begun), 3500, "the errand to cancel held us up: %d ms", (int)place_since(begun));
    store_return(store, &session);
    begun = store_deadline(0);
    cr_expect_not(place_run(store, 400, &one, NULL, NULL, &fault));
    cr_expect_str_eq(fault.code, "store-unavailable");
    cr_expect_lt(place_since(begun), 1000);
    kill(backend, SIGCONT);
    kill(postmaster, SIGCONT);
    bool back = false;
    for (int64_t limit = store_deadline(8000); !back && store_deadline(0) < limit;)
        back = place_run(store, 1000, &one, NULL, NULL, &fault);
    cr_expect(back, "%s", fault.message);
    store_close(&store);
}

/* ---- several hosts */

/* A socket that takes connections and never says a word. */
static int listen_silently(const char *directory) {
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    snprintf(address.sun_path, sizeof address.sun_path, "%s/.s.PGSQL.%s", directory, getenv("PGPORT"));
    int listener = socket(AF_UNIX, SOCK_STREAM, 0);
    cr_assert(listener >= 0 && bind(listener, (struct sockaddr *)&address, sizeof address) == 0 &&
              listen(listener, 16) == 0);
    return listener;
}

Test(outage, a_silent_first_host_does_not_hide_the_second, .timeout = 60) {
    make_marks("hosts");
    char directory[] = "/tmp/ell.XXXXXX", conninfo[512], command[64];
    cr_assert_not_null(mkdtemp(directory));
    int listener = listen_silently(directory);
    snprintf(conninfo, sizeof conninfo, "host=/nonexistent,%s,%s port=%s user=clerk dbname=hosts", directory,
             getenv("PGHOST"), getenv("PGPORT"));
    struct store_options options = {.conninfo = conninfo, .connections = 1, .connect_timeout_ms = 900};
    struct store *store = NULL;
    struct fault fault;
    cr_assert(store_open(&options, &store, &fault));
    int64_t begun = store_deadline(0);
    cr_expect(place_run(store, 2000, &one, NULL, NULL, &fault), "%s", fault.message);
    cr_expect_lt(place_since(begun), 900);
    store_close(&store);
    close(listener);
    snprintf(command, sizeof command, "rm -r %s", directory);
    cr_expect_eq(system(command), 0);
}

Test(outage, a_server_that_takes_no_changes_is_not_used, .timeout = 60) {
    make_marks("readonly");
    place_sql("readonly", NULL, "alter database readonly set default_transaction_read_only = on");
    struct store *store = place_store("readonly", 1);
    struct fault fault;
    cr_expect_not(place_run(store, 500, &one, NULL, NULL, &fault));
    cr_expect_str_eq(fault.code, "store-unavailable");
    store_close(&store);
}

/* ---- in the middle of a transaction */

struct marking {
    int runs, stops;
};

static bool mark_and_stop(struct store_session *session, void *state, struct fault *fault) {
    struct marking *marking = state;
    struct store_values values = {0};
    store_text(&values, "x");
    if (!store_run_nothing(session, &add, &values, fault))
        return false;
    return marking->runs++ >= marking->stops || store_run_nothing(session, &stop_me, NULL, fault);
}

Test(outage, a_transaction_whose_backend_ends_is_done_once_on_another, .timeout = 60) {
    make_marks("middle");
    struct store *store = place_store("middle", 2);
    struct fault fault;
    struct marking marking = {.stops = 2};
    cr_expect(store_transaction(store, store_deadline(10000), mark_and_stop, &marking, &fault), "%s",
              fault.message);
    cr_expect_eq(marking.runs, 3);
    cr_expect_eq(marks("middle"), 1);
    store_close(&store);
}

Test(outage, work_that_ends_every_backend_is_given_up, .timeout = 60) {
    make_marks("poison");
    struct store *store = place_store("poison", 2);
    struct fault fault;
    struct marking marking = {.stops = 1000};
    cr_expect_not(store_transaction(store, store_deadline(10000), mark_and_stop, &marking, &fault));
    cr_expect_str_eq(fault.code, "store-unavailable");
    cr_expect_leq(marking.runs, 4, "it ran %d times", marking.runs);
    cr_expect_eq(marks("poison"), 0);
    store_close(&store);
}

/* A deferred trigger ends the backend during commit itself: whoever asked cannot know. */
Test(outage, a_connection_lost_during_commit_is_an_unknown_outcome, .timeout = 60) {
    make_marks("unknown");
    place_sql("unknown", NULL,
              "create function public.fall() returns trigger language plpgsql as $$ begin perform "
              "pg_terminate_backend(pg_backend_pid()); return null; end $$; create constraint trigger fall "
              "after insert on "
              "mark deferrable initially deferred for each row execute function public.fall()");
    struct store *store = place_store("unknown", 1);
    struct fault fault;
    struct marking marking = {.stops = 0};
    cr_expect_not(store_transaction(store, store_deadline(5000), mark_and_stop, &marking, &fault));
    cr_expect_str_eq(fault.code, "outcome-unknown");
    cr_expect_eq(marking.runs, 1, "an unknown outcome was repeated by itself");
    cr_expect(place_run(store, 2000, &one, NULL, NULL, &fault));
    store_close(&store);
}

/* ---- acknowledged work, while the server is killed again and again */

struct writer {
    struct store *store;
    atomic_bool stop;
    atomic_long acknowledged, unknown;
};

static bool mark_once(struct store_session *session, void *state, struct fault *fault) {
    struct store_values values = {0};
    (void)state;
    store_text(&values, "x");
    return store_run_nothing(session, &add, &values, fault);
}

static void *keep_writing(void *state) {
    struct writer *writer = state;
    while (!atomic_load(&writer->stop)) {
        struct fault fault;
        if (store_transaction(writer->store, store_deadline(1000), mark_once, NULL, &fault))
            atomic_fetch_add(&writer->acknowledged, 1);
        else if (strcmp(fault.code, "outcome-unknown") == 0)
            atomic_fetch_add(&writer->unknown, 1);
        usleep(2000);
    }
    return NULL;
}

/* Waits until the two have written `more` than before, however slow the machine; the test's time limit ends it. */
static long wait_for_writes(struct writer writers[2], long more) {
    long begun = atomic_load(&writers[0].acknowledged) + atomic_load(&writers[1].acknowledged), now = begun;
    while (now < begun + more) {
        usleep(5000);
        now = atomic_load(&writers[0].acknowledged) + atomic_load(&writers[1].acknowledged);
    }
    return now;
}

Test(outage, what_was_acknowledged_is_there_after_kills, .timeout = 120) {
    make_marks("kills");
    struct writer writers[2] = {{.store = place_store("kills", 1)}, {.store = place_store("kills", 1)}};
    pthread_t threads[2];
    for (int i = 0; i < 2; i++)
        cr_assert_eq(pthread_create(&threads[i], NULL, keep_writing, &writers[i]), 0);
    for (int i = 0; i < 3; i++) {
        wait_for_writes(writers, 40);
        place_server("postgres_kill; postgres_start");
    }
    cr_expect_gt(wait_for_writes(writers, 40), 100);
    long acknowledged = 0, unknown = 0;
    for (int i = 0; i < 2; i++) {
        atomic_store(&writers[i].stop, true);
        pthread_join(threads[i], NULL);
        acknowledged += atomic_load(&writers[i].acknowledged);
        unknown += atomic_load(&writers[i].unknown);
        store_close(&writers[i].store);
    }
    int64_t there = marks("kills");
    cr_expect(there >= acknowledged && there <= acknowledged + unknown,
              "%ld there, %ld acknowledged, %ld unknown", (long)there, acknowledged, unknown);
}

/* ---- events */

static bool hear(struct store_listener *listener, int timeout_ms, const char *expected) {
    char payload[64];
    bool heard = store_listen_next(listener, timeout_ms, payload, sizeof payload);
    return expected == NULL ? !heard : heard && strcmp(payload, expected) == 0;
}

Test(outage, events_are_heard_across_a_restart_and_gaps_are_told, .timeout = 60) {
    make_marks("events");
    struct store *store = place_store("events", 1);
    struct store_listener *listener = NULL;
    struct fault fault;
    cr_assert(store_listen(store, "test \"channel\"", &listener, &fault));
    cr_expect(hear(listener, 2000, ""), "the first connection is a gap");
    cr_expect(hear(listener, 50, NULL), "nothing was said");
    place_sql("events", NULL,
              "select pg_notify('test \"channel\"', 'one'), pg_notify('test \"channel\"', 'two'), "
              "pg_notify('other', 'three'), pg_notify('test \"channel\"', '')");
    cr_expect(hear(listener, 2000, "one"));
    cr_expect(hear(listener, 2000, "two"));
    cr_expect(hear(listener, 50, NULL), "another channel's or an empty event was heard");
    place_server("postgres_kill");
    int64_t begun = store_deadline(0);
    cr_expect(hear(listener, 300, NULL));
    cr_expect(place_since(begun) >= 290 && place_since(begun) < 1000, "it span or hung: %d ms",
              (int)place_since(begun));
    place_server("postgres_start");
    bool gap = false;
    for (int i = 0; i < 20 && !gap; i++)
        gap = hear(listener, 500, "");
    cr_expect(gap, "the reconnection was not told");
    place_sql("events", NULL, "select pg_notify('test \"channel\"', repeat('y', 200))");
    char payload[8];
    cr_expect(store_listen_next(listener, 2000, payload, sizeof payload));
    cr_expect_str_eq(payload, "yyyyyyy");
    store_unlisten(&listener);
    cr_expect_null(listener);
    store_close(&store);
}
