/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* Set by a signal; the loop looks at it between events. */
static volatile sig_atomic_t ended;

static void end(int number) {
    (void)number;
    ended = 1;
}

static void show(const struct program *program, const char *topic, const char *json) {
    FILE *file = program->screen.file;
    if (program->settings.json) {
        fprintf(file, "{\"topic\":\"%s\",\"event\":%s}\n", topic, json);
    } else {
        char now[32] = "";
        time_t moment = time(NULL);
        struct tm local;
        if (localtime_r(&moment, &local) != NULL)
            strftime(now, sizeof now, "%H:%M:%S", &local);
        screen_text(&program->screen, PAINT_DIM, now);
        putc(' ', file);
        screen_text(&program->screen, PAINT_BOLD, topic);
        putc(' ', file);
        screen_text(&program->screen, PAINT_PLAIN, json);
        putc('\n', file);
    }
    fflush(file);
}

static int subscribe(struct program *program, struct ell_client *client) {
    struct ell_error error;
    bool good = true;
    if (program->argument_count == 0)
        good = ell_client_subscribe(client, "", &error);
    for (int i = 0; good && i < program->argument_count; i++)
        good = ell_client_subscribe(client, program->arguments[i], &error);
    return good ? EXIT_DONE : program_error(program, &error);
}

static int run(struct program *program) {
    int code;
    int64_t count;
    struct ell_client *client = program_client(program, &code);
    if (!program_number(program, "count", 1, 1000000000, INT64_MAX, &count))
        return EXIT_USAGE;
    if (client == NULL || (code = subscribe(program, client)) != EXIT_DONE)
        return code;
    struct sigaction action = {.sa_handler = end};
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
    while (!ended && count > 0) {
        char topic[ELL_TOPIC_MAX + 1], *json = NULL;
        struct ell_error error;
        if (!ell_client_event(client, 500, topic, &json, &error)) {
            if (error.failure != ELL_TIMEOUT && error.failure != ELL_UNREACHABLE)
                return program_error(program, &error);
            continue;
        }
        if (strcmp(topic, "alive") != 0 || program_switch(program, "alive")) {
            show(program, topic, json);
            count--;
        }
        free(json);
    }
    return EXIT_DONE;
}

static const struct command_option options[] = {
    {"count", "NUMBER", "End after so many events"}, {"alive", NULL, "Show the signs of life too"}, {0}};

const struct command command_watch = {
    .name = "watch",
    .group = GROUP_ANYONE,
    .arguments = "[TOPIC...]",
    .most = -1,
    .summary = "Print what happens in the workshop, as it happens",
    .more = "TOPIC is the beginning of a topic: \"order\" shows order.taken and its kin. Without one, "
            "everything is shown. Events that come while the daemon cannot be reached are not shown later. "
            "End it with Ctrl-C.",
    .options = options,
    .run = run,
};
