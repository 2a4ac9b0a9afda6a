/* Waiting for a plan: events tell how far the solver is, and the plan itself is asked for when they tell that it ended, and each
 * second, since an event may be missed. SPDX-License-Identifier: Apache-2.0 */
#include "plan_view.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { ASK_MS = 1000 };

struct waiting {
    struct program *program;
    struct ell_client *client;
    int64_t id;
    double began, seconds;
    struct progress progress;
};

static double now(void) {
    struct timespec moment;
    clock_gettime(CLOCK_MONOTONIC, &moment);
    return (double)moment.tv_sec + (double)moment.tv_nsec / 1e9;
}

static void show_progress(struct waiting *waiting, const json_t *body) {
    char note[96];
    const json_t *best = json_object_get(body, "best"), *bound = json_object_get(body, "bound");
    const char *phase = json_string_value(json_object_get(body, "phase"));
    snprintf(note, sizeof note, "%.20s: best %.10g, at least %.10g", phase == NULL ? "" : phase,
             json_number_value(best), json_number_value(bound));
    progress_show(&waiting->progress, (now() - waiting->began) / waiting->seconds, note);
}

/* True when this event says that the plan has ended, one way or another. */
static bool take_event(struct waiting *waiting, const char *topic, const char *json) {
    json_t *event = json_loads(json, 0, NULL);
    const json_t *body = json_object_get(event, "body");
    bool ours = json_integer_value(json_object_get(body, "plan")) == waiting->id;
    bool progress = strcmp(topic, "plan.progress") == 0;
    if (ours && progress)
        show_progress(waiting, body);
    json_decref(event);
    return ours && !progress;
}

/* Sleeps until the plan ends or a second has passed. */
static void hear(struct waiting *waiting) {
    double until = now() + ASK_MS / 1000.0;
    bool ended = false;
    while (!ended && now() < until) {
        char topic[ELL_TOPIC_MAX + 1], *json = NULL;
        struct ell_error error;
        if (ell_client_event(waiting->client, (int)((until - now()) * 1000) + 1, topic, &json, &error))
            ended = take_event(waiting, topic, json);
        else if (error.failure != ELL_TIMEOUT)
            nanosleep(&(struct timespec){.tv_nsec = 200000000L}, NULL);
        free(json);
    }
}

static bool is_under_way(const json_t *plan) {
    const char *state = json_string_value(json_object_get(plan, "state"));
    return state != NULL && (strcmp(state, "queued") == 0 || strcmp(state, "solving") == 0);
}

static int ask_until_ended(struct waiting *waiting, json_t **plan) {
    for (;;) {
        int code = program_call(waiting->program, "plan.show",
                                json_pack("{s:I}", "plan", (json_int_t)waiting->id), plan);
        if (code != EXIT_DONE || !is_under_way(*plan))
            return code;
        if (now() - waiting->began > waiting->seconds) {
            progress_end(&waiting->progress);
            json_decref(*plan);
            *plan = NULL;
            return program_wrong(waiting->program, EXIT_LATE, "plan",
                                 "Plan %lld is still under way; look again with: ellwand plan show %lld",
                                 (long long)waiting->id, (long long)waiting->id);
        }
        json_decref(*plan);
        *plan = NULL;
        hear(waiting);
    }
}

int plan_wait(struct program *program, int64_t id, double seconds, json_t **plan) {
    int code;
    struct ell_error error;
    struct waiting waiting = {.program = program, .id = id, .began = now(), .seconds = seconds};
    waiting.client = program_client(program, &code);
    if (waiting.client == NULL)
        return code;
    if (!ell_client_subscribe(waiting.client, "plan.", &error))
        return program_error(program, &error);
    progress_begin(&waiting.progress, &program->notices, "planning");
    code = ask_until_ended(&waiting, plan);
    progress_end(&waiting.progress);
    return code;
}
