/* cutting [--time-limit S] FILE...: published instances, one JSON line each, and a summary by set on stderr.
 * SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "cutting/check/plan_check.h"
#include "cutting/cutlist.h"
#include "instances.h"

#include <argp.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { FILES_MOST = 64, TIMES_MOST = 10000 };

struct arguments {
    double time_limit;
    const char *only;
    bool check;
    size_t file_count;
    const char *files[FILES_MOST];
};

struct summary {
    size_t count, proven, above, below;
    double total, worst, times[TIMES_MOST];
};

struct outcome {
    int64_t bars, bound;
    bool proven, checked;
    double ms;
    long peak_kib;
};

static error_t on_argument(int key, char *text, struct argp_state *state) {
    struct arguments *arguments = state->input;
    if (key == 't') {
        arguments->time_limit = atof(text);
    } else if (key == 'o') {
        arguments->only = text;
    } else if (key == 'c') {
        arguments->check = true;
    } else if (key == ARGP_KEY_ARG && arguments->file_count < FILES_MOST) {
        arguments->files[arguments->file_count++] = text;
    } else if (key == ARGP_KEY_END && arguments->file_count == 0) {
        argp_usage(state);
    } else {
        return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static bool check_plan(const struct cutting_problem *problem, const struct cutting_plan *plan,
                       struct fault *fault) {
    json_t *bars = json_array(), *pieces = json_array();
    json_array_append_new(
        bars, json_pack("{s:s, s:o}", "name", "bar", "length", document_length(problem->bars[0].length)));
    for (size_t i = 0; i < problem->piece_count; i++)
        json_array_append_new(pieces, json_pack("{s:s, s:o, s:I}", "name", problem->pieces[i].name, "length",
                                                document_length(problem->pieces[i].length), "quantity",
                                                (json_int_t)problem->pieces[i].quantity));
    json_t *asked = json_pack("{s:i, s:o, s:o}", "kerf", 0, "bars", bars, "pieces", pieces);
    json_t *answer = cutting_plan_write(problem, plan);
    bool fine = asked != NULL && answer != NULL && plan_check(asked, answer, fault);
    json_decref(asked);
    json_decref(answer);
    return fine;
}

/* Time on the processor, so that what else runs on the machine does not count; the solver uses one thread
 * here. */
static double processor_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* In a process of its own, so that its peak of memory is its own. */
static void run_child(const struct instance *instance, const struct arguments *arguments, int output) {
    struct cutting_options options = cutting_options_default();
    struct cutting_plan plan;
    struct fault fault;
    options.seconds = arguments->time_limit;
    options.clock = processor_clock;
    struct outcome outcome = {.bars = -1};
    if (cutting_solve(&instance->problem, &options, &plan, &fault)) {
        outcome =
            (struct outcome){.bars = plan.cost / instance->capacity,
                             .bound = plan.bound / instance->capacity,
                             .proven = plan.proven,
                             .checked = !arguments->check || check_plan(&instance->problem, &plan, &fault),
                             .ms = plan.ms};
        cutting_plan_free(&plan);
    }
    if (outcome.bars < 0 || !outcome.checked)
        fprintf(stderr, "%s: %s: %s\n", instance->name, fault.where, fault.message);
    FILE *status = fopen("/proc/self/status", "r");
    char line[200];
    while (status != NULL && fgets(line, sizeof line, status) != NULL)
        sscanf(line, "VmHWM: %ld", &outcome.peak_kib);
    if (status != NULL)
        fclose(status);
    _exit(write(output, &outcome, sizeof outcome) == (ssize_t)sizeof outcome ? 0 : 1);
}

static bool run_instance(const struct instance *instance, const struct arguments *arguments,
                         struct outcome *outcome) {
    int ends[2];
    if (pipe(ends) != 0)
        return false;
    fflush(stdout);
    pid_t child = fork();
    if (child == 0)
        run_child(instance, arguments, ends[1]);
    close(ends[1]);
    bool fine = child > 0 && read(ends[0], outcome, sizeof *outcome) == (ssize_t)sizeof *outcome;
    close(ends[0]);
    int status = 1;
    return child > 0 && waitpid(child, &status, 0) == child && status == 0 && fine;
}

static void note(const struct instance *instance, const struct outcome *outcome, struct summary *summary) {
    long least = 0, most = 0;
    if (sscanf(instance->known, "%ld..%ld", &least, &most) == 1)
        most = least;
    summary->above += outcome->proven && outcome->bars > most;
    summary->below += outcome->proven && outcome->bars < least;
    summary->proven += outcome->proven;
    summary->total += outcome->ms;
    if (outcome->ms > summary->worst)
        summary->worst = outcome->ms;
    if (summary->count < TIMES_MOST)
        summary->times[summary->count++] = outcome->ms;
}

static void set_name(const char *path, char name[64]) {
    const char *slash = strrchr(path, '/');
    snprintf(name, 64, "%s", slash ? slash + 1 : path);
    char *dot = strrchr(name, '.');
    if (dot != NULL)
        *dot = '\0';
}

static bool run_file(const char *path, const struct arguments *arguments, struct summary *summary) {
    FILE *file = fopen(path, "r");
    struct instance instance;
    bool bad = file == NULL;
    char set[64];
    set_name(path, set);
    while (file != NULL && instance_next(file, &instance, &bad)) {
        struct outcome outcome;
        if (arguments->only == NULL || strstr(instance.name, arguments->only) != NULL) {
            if (!run_instance(&instance, arguments, &outcome)) {
                fprintf(stderr, "%s: the solver did not answer\n", instance.name);
                bad = true;
            } else {
                printf("{\"set\":\"%s\",\"instance\":\"%s\",\"bars\":%" PRId64 ",\"bound\":%" PRId64
                       ",\"proven\":%s,\"ms\":%.3f,\"peak_kib\":%ld,\"known\":\"%s\"}\n",
                       set, instance.name, outcome.bars, outcome.bound, outcome.proven ? "true" : "false",
                       outcome.ms, outcome.peak_kib, instance.known);
                bad = bad || !outcome.checked;
                note(&instance, &outcome, summary);
            }
        }
        cutting_problem_free(&instance.problem);
    }
    if (file != NULL)
        fclose(file);
    return !bad;
}

static int by_time(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

int main(int argc, char **argv) {
    static const struct argp_option options[] = {
        {"time-limit", 't', "S", 0, "Seconds of processor time for each instance (default 60)", 0},
        {"only", 'o', "TEXT", 0, "Only instances whose name holds TEXT", 0},
        {"check", 'c', NULL, 0, "Check every plan with the independent checker", 0},
        {0}};
    static const struct argp argp = {options, on_argument, "FILE...", "Solve published cutting instances.",
                                     0,       0,           0};
    struct arguments arguments = {.time_limit = 60};
    argp_parse(&argp, argc, argv, 0, NULL, &arguments);
    static struct summary summary;
    bool fine = true;
    fprintf(stderr, "%-14s %6s %6s %11s %11s %11s  %s\n", "set", "count", "proven", "median ms", "mean ms",
            "worst ms", "proven beside the known optimum");
    for (size_t i = 0; i < arguments.file_count; i++) {
        char set[64];
        set_name(arguments.files[i], set);
        summary = (struct summary){0};
        fine = run_file(arguments.files[i], &arguments, &summary) && fine;
        fine = fine && summary.above == 0 && summary.below == 0;
        if (summary.count == 0)
            continue;
        qsort(summary.times, summary.count, sizeof(double), by_time);
        fprintf(stderr, "%-14s %6zu %6zu %11.2f %11.2f %11.2f  %zu above, %zu below\n", set, summary.count,
                summary.proven, summary.times[summary.count / 2], summary.total / (double)summary.count,
                summary.worst, summary.above, summary.below);
    }
    return fine ? 0 : 1;
}
