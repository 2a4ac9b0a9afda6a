/* Key files. SPDX-License-Identifier: Apache-2.0 */
#include <criterion/criterion.h>
#include <ellwand/client.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/ellwand-key.XXXXXX";

static void make_folder(void) {
    cr_assert_not_null(mkdtemp(folder));
}

static void remove_folder(void) {
    char command[64];
    snprintf(command, sizeof command, "rm -r %s", folder);
    cr_assert_eq(system(command), 0);
}

static char *path(const char *name) {
    static char paths[4][64];
    static int next;
    next = (next + 1) % 4;
    snprintf(paths[next], sizeof paths[0], "%s/%s", folder, name);
    return paths[next];
}

static void write_text(const char *file, const char *text, mode_t mode) {
    FILE *stream = fopen(file, "w");
    cr_assert_not_null(stream);
    fputs(text, stream);
    fclose(stream);
    chmod(file, mode);
}

TestSuite(key, .init = make_folder, .fini = remove_folder);

Test(key, comes_back_as_it_was_written) {
    struct ell_key key, whole, half;
    struct ell_error error = {0};
    struct stat status;
    cr_assert(ell_key_make("saw-1", &key, &error), "%s", error.message);
    cr_assert(ell_key_write(path("a"), &key, true, &error), "%s", error.message);
    cr_assert(ell_key_write(path("a.public"), &key, false, &error), "%s", error.message);
    cr_assert(ell_key_read(path("a"), &whole, &error), "%s", error.message);
    cr_assert(ell_key_read(path("a.public"), &half, &error), "%s", error.message);
    cr_assert_str_eq(whole.secret, key.secret);
    cr_assert_str_eq(half.public_half, key.public_half);
    cr_assert_str_eq(half.secret, "");
    cr_assert_str_eq(half.name, "saw-1");
    cr_assert(stat(path("a"), &status) == 0 && (status.st_mode & 0777) == 0600);
}

Test(key, no_file_is_written_over) {
    struct ell_key key;
    struct ell_error error = {0};
    cr_assert(ell_key_make("saw-1", &key, &error));
    cr_assert(ell_key_write(path("a"), &key, true, &error));
    cr_assert(!ell_key_write(path("a"), &key, true, &error));
    cr_assert_str_eq(error.code, "no-file");
    cr_assert_eq(error.failure, ELL_MISUSE);
}

Test(key, a_secret_that_others_may_read_is_refused) {
    struct ell_key key, read = {.name = "before"};
    struct ell_error error = {0};
    cr_assert(ell_key_make("saw-1", &key, &error) && ell_key_write(path("a"), &key, true, &error));
    chmod(path("a"), 0640);
    cr_assert(!ell_key_read(path("a"), &read, &error));
    cr_assert_str_eq(error.code, "open-key");
    cr_assert_str_eq(read.name, "before", "the output is touched");
}

Test(key, wrong_files_are_told_by_line) {
    /* The test keys that zmq_curve(7) of libzmq prints. */
    static const char pair[] = "public Yne@$w-vo<fVvi]a<NY6T1ed:M$fCG*[IaLV{hID\n"
                               "secret D:)Q[IlAW!ahhC2ac:9*A}h:p?([4%wOTJ%JR%cs\n";
    static const char other[] = "public rq:rM>}U?@Lns47E1%kR.o@n%FcmmsL/@{H8]yf7\n"
                                "secret D:)Q[IlAW!ahhC2ac:9*A}h:p?([4%wOTJ%JR%cs\n";
    char text[400];
    const struct {
        const char *text, *says;
    } wrong[] = {
        {"", "\"name\""},
        {"name saw-1\n", "\"public\""},
        {"name saw 1\n", "Line 1"},
        {"name a\nname b\n", "Line 2"},
        {"name a\npublic short\n", "Line 2"},
        {"name a\npublic\n", "Line 2"},
        {"name a\nprivate x\n", "Line 2"},
        {other, "does not belong"},
    };
    struct ell_key key;
    struct ell_error error = {0};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        snprintf(text, sizeof text, "%s%s", wrong[i].text == other ? "name a\n" : "", wrong[i].text);
        write_text(path("w"), text, 0600);
        cr_assert(!ell_key_read(path("w"), &key, &error), "file %zu was taken", i);
        cr_assert(strstr(error.message, wrong[i].says) != NULL, "file %zu: %s", i, error.message);
    }
    snprintf(text, sizeof text, "# mine\r\n\nname a\r\n%s", pair);
    write_text(path("w"), text, 0600);
    cr_assert(ell_key_read(path("w"), &key, &error), "%s", error.message);
    cr_assert_str_eq(key.name, "a");
}

Test(key, absent_and_endless_files) {
    struct ell_key key;
    struct ell_error error = {0};
    cr_assert(!ell_key_read(path("none"), &key, &error));
    cr_assert_str_eq(error.code, "no-file");
    cr_assert(!ell_key_read("/dev/zero", &key, &error));
    cr_assert(!ell_key_read("/dev/urandom", &key, &error));
    cr_assert(!ell_key_make("no name", &key, &error));
}

Test(client, options_are_checked_before_anything_is_sent) {
    struct ell_error error = {0};
    struct ell_client *client = NULL;
    struct ell_key half = {.name = "a"};
    struct ell_client_options options = {.endpoint = "tcp://127.0.0.1:1", .server_key = "short"};
    cr_assert(!ell_client_open(&options, &client, &error));
    cr_assert_str_eq(error.where, "server key");
    options.server_key = "rq:rM>}U?@Lns47E1%kR.o@n%FcmmsL/@{H8]yf7";
    cr_assert(!ell_client_open(&options, &client, &error));
    cr_assert_str_eq(error.where, "key");
    options.key = &half;
    cr_assert(!ell_client_open(&options, &client, &error));
    options = (struct ell_client_options){.endpoint = "nonsense"};
    cr_assert(!ell_client_open(&options, &client, &error));
    cr_assert_str_eq(error.code, "bad-endpoint");
    cr_assert_null(client);
}

Test(client, calls_are_checked_before_anything_is_sent) {
    struct ell_error error = {0};
    struct ell_client *client = NULL;
    char *reply = NULL, topic[ELL_TOPIC_MAX + 1];
    struct ell_client_options options = {.endpoint = "tcp://127.0.0.1:1", .timeout_ms = 100};
    cr_assert(ell_client_open(&options, &client, &error), "%s", error.message);
    cr_assert(!ell_client_call(client, "Order Take", NULL, "{}", 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_MISUSE);
    cr_assert(!ell_client_call(client, "ping", "a b", "{}", 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_MISUSE);
    cr_assert(!ell_client_call(client, "ping", "a", "{}", -1, &reply, &error));
    cr_assert_eq(error.failure, ELL_MISUSE);
    cr_assert(!ell_client_event(client, 10, topic, &reply, &error));
    cr_assert_str_eq(error.code, "not-subscribed");
    cr_assert(!ell_client_call(client, "ping", "a", "{}", 0, &reply, &error));
    cr_assert_eq(error.failure, ELL_UNREACHABLE, "port 1 answers?");
    cr_assert_null(reply);
    ell_client_close(&client);
    ell_client_close(&client);
}

Test(key, a_public_half_is_never_taken_for_an_option) {
    struct ell_error error;
    for (int i = 0; i < 500; i++) { /* one key in 85 would begin with a hyphen */
        struct ell_key key;
        cr_assert(ell_key_make("anna", &key, &error));
        cr_assert_neq(key.public_half[0], '-');
    }
}
