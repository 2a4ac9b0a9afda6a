/* SPDX-License-Identifier: Apache-2.0 */
#include "bench/drive.h"

#include "bench/view.h"
#include "common/document.h"
#include "common/text.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

struct drive {
    struct program *program;
    struct ell_client *client;
    struct bench bench;
    bool refused;     /* any line was */
    json_t *requests; /* of this line: [{verb, request}] */
};

/* Set by a signal; looked at between questions. */
static volatile sig_atomic_t ended;

static void end(int number) {
    (void)number;
    ended = 1;
}

/* Not done, or not known to be: the same request is right to be asked again, for as long as it takes. */
static bool worth_waiting(const struct ell_error *error) {
    static const char *const codes[] = {"busy",    "shutting-down", "store-unavailable", "store-busy",
                                        "timeout", "retry",         "outcome-unknown"};
    bool worth = error->failure == ELL_UNREACHABLE || error->failure == ELL_TIMEOUT;
    for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
        worth = worth || strcmp(error->code, codes[i]) == 0;
    return worth;
}

static void say_waiting(const struct program *program, const struct ell_error *error) {
    const struct screen *screen = &program->notices;
    fflush(program->screen.file);
    screen_text(screen, PAINT_YELLOW, "Waiting for the daemon: ");
    screen_paragraph(screen, 0, error->message);
    screen_paragraph(screen, 0, "Your scan is kept and will be done once. Ctrl-C gives up.");
}

/* The outcome of a change that nobody waited for. */
static int say_given_up(const struct program *program, const char *verb, const char *id) {
    return program_wrong(
        program, EXIT_LATE, verb,
        "It is not known whether this was done; scan the same thing again to see. The request was %s.", id);
}

static void pause_ms(long milliseconds) {
    struct timespec time = {milliseconds / 1000, milliseconds % 1000 * 1000000};
    nanosleep(&time, NULL);
}

static int take_reply(struct drive *drive, const char *verb, char *reply) {
    struct fault fault;
    json_t *answer = document_read(reply, strlen(reply), &document_large, &fault);
    free(reply);
    if (answer == NULL)
        return program_wrong(drive->program, EXIT_TROUBLE, verb, "The daemon's answer is not JSON.");
    bench_answer(&drive->bench, answer);
    json_decref(answer);
    return EXIT_DONE;
}

/* Asks one request, under one id however often, until it is answered. */
static int ask(struct drive *drive, const char *verb, const json_t *body) {
    enum { SLICE_MS = 2000, PAUSE_MS = 300 };
    struct ell_error error = {0};
    char *text = json_dumps(body, DOCUMENT_COMPACT), *reply = NULL, id[ELL_REQUEST_ID_MAX + 1] = "";
    bool answered = false, waiting = false;
    if (text == NULL)
        return program_wrong(drive->program, EXIT_TROUBLE, verb, "There is not enough memory.");
    while (!answered) {
        answered =
            ell_client_call(drive->client, verb, id[0] != '\0' ? id : NULL, text, SLICE_MS, &reply, &error);
        if (id[0] == '\0')
            text_copy(id, sizeof id, ell_client_request_id(drive->client));
        if (answered || !worth_waiting(&error) || ended)
            break;
        if (!waiting)
            say_waiting(drive->program, &error);
        waiting = true;
        pause_ms(PAUSE_MS);
    }
    free(text);
    json_array_append_new(drive->requests,
                          json_pack("{s:s, s:s, s:b}", "verb", verb, "request", id, "done", answered));
    if (answered)
        return take_reply(drive, verb, reply);
    if (worth_waiting(&error))
        return say_given_up(drive->program, verb, id);
    if (error.failure != ELL_REFUSED)
        return program_error(drive->program, &error);
    bench_refusal(&drive->bench, error.code, error.message);
    return EXIT_DONE;
}

static void show_json(const struct drive *drive, const char *given) {
    static const char *const outcomes[] = {
        [BENCH_TOLD] = "told", [BENCH_DONE] = "done", [BENCH_REFUSED] = "refused"};
    const struct bench *bench = &drive->bench;
    char next[BENCH_TEXT], hand[BENCH_TEXT];
    bench_next(bench, next);
    bench_in_hand(bench, hand);
    json_t *line =
        json_pack("{s:s, s:s, s:s, s:s*, s:s, s:s, s:O}", "input", given, "outcome", outcomes[bench->outcome],
                  "said", bench->said, "code", bench->code[0] != '\0' ? bench->code : NULL, "hand", hand,
                  "next", next, "requests", drive->requests);
    json_dumpf(line, drive->program->screen.file, DOCUMENT_COMPACT);
    putc('\n', drive->program->screen.file);
    fflush(drive->program->screen.file);
    json_decref(line);
}

static void show(struct drive *drive, const char *given) {
    screen_measure(&drive->program->screen, stdout);
    view_print(&drive->program->screen, &drive->bench, given);
}

static int take_line(struct drive *drive, enum line_kind kind, const char *line) {
    struct bench *bench = &drive->bench;
    const char *verb;
    const json_t *body;
    int code = EXIT_DONE;
    json_array_clear(drive->requests);
    bench_line(bench, kind, line);
    while (code == EXIT_DONE && bench_request(bench, &verb, &body))
        code = ask(drive, verb, body);
    drive->refused = drive->refused || bench->outcome == BENCH_REFUSED;
    if (code != EXIT_DONE)
        return code;
    if (drive->program->settings.json)
        show_json(drive, line);
    else
        show(drive, line);
    return EXIT_DONE;
}

static int read_lines(struct drive *drive) {
    struct line_reader reader = {0};
    char bytes[4096], line[LINE_MOST + 1];
    enum line_kind kind;
    int code = EXIT_DONE;
    while (code == EXIT_DONE && !drive->bench.ended && !ended) {
        ssize_t got = read(STDIN_FILENO, bytes, sizeof bytes);
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            break;
        for (size_t at = 0, taken = 0; at < (size_t)got && code == EXIT_DONE && !drive->bench.ended;
             at += taken)
            if ((kind = line_take(&reader, bytes + at, (size_t)got - at, &taken, line)) != LINE_NONE)
                code = take_line(drive, kind, line);
    }
    if (code == EXIT_DONE && !drive->bench.ended && !ended && (kind = line_rest(&reader, line)) != LINE_NONE)
        code = take_line(drive, kind, line);
    return code;
}

/* A key that may do nothing here, or a wrong address, shows before the first scan. */
static int greet(struct drive *drive) {
    int code;
    json_t *answer = NULL;
    drive->client = program_client(drive->program, &code);
    if (drive->client == NULL)
        return code;
    code = program_call(drive->program, "ping", NULL, &answer);
    json_decref(answer);
    if (code == EXIT_DONE && !drive->program->settings.json)
        show(drive, "");
    return code;
}

int drive_session(struct program *program, const char *unit) {
    struct drive drive = {.program = program, .requests = json_array()};
    struct sigaction action = {.sa_handler = end};
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
    bench_open(&drive.bench, unit);
    int code = greet(&drive);
    if (code == EXIT_DONE)
        code = read_lines(&drive);
    if (program->screen.terminal && !program->settings.json)
        putc('\n', program->screen.file);
    bench_close(&drive.bench);
    json_decref(drive.requests);
    return code == EXIT_DONE && drive.refused && !isatty(STDIN_FILENO) ? EXIT_REFUSED : code;
}
