/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "file_text.h"

#include "common/document.h"
#include "cutting/check/plan_check.h"
#include "cutting/cutlist.h"
#include "cutting/picture.h"

#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>

enum { CSV_BYTES = 16 << 20 };

/* Set by Ctrl-C: the best plan so far is then printed. */
static atomic_bool cancelled;

static void cancel(int number) {
    (void)number;
    atomic_store(&cancelled, true);
}

/* A length option into the problem under construction, when it was given. */
static bool take_length(const struct program *program, const char *option, json_t *problem,
                        const char *field) {
    ell_length length = -1;
    if (!program_length(program, option, 0, ELL_LENGTH_MAX, -1, &length))
        return false;
    if (length >= 0)
        json_object_set_new(problem, field, document_length(length));
    return true;
}

static bool take_remainder(const struct program *program, json_t *problem) {
    int64_t percent, places;
    json_t *remainder = json_object();
    bool good = take_length(program, "usable", remainder, "usable") &&
                program_number(program, "value-percent", 0, 100, 80, &percent) &&
                program_number(program, "places", 0, 1000000, -1, &places);
    bool wanted = good && json_object_get(remainder, "usable") != NULL;
    if (wanted) {
        json_object_set_new(remainder, "value_percent", json_integer(percent));
        json_object_set_new(remainder, "places", places < 0 ? json_null() : json_integer(places));
        json_object_set(problem, "remainder", remainder);
    }
    json_decref(remainder);
    return good;
}

static bool take_gang(const struct program *program, json_t *problem) {
    int64_t gang;
    return program_number(program, "gang", 1, CUTTING_GANG_MOST, 1, &gang) &&
           json_object_set_new(problem, "gang", json_integer(gang)) == 0;
}

static bool take_bars(const struct program *program, json_t *problem) {
    json_t *bars = json_array();
    const char *text;
    json_object_set_new(problem, "bars", bars);
    for (int i = 0; (text = program_option_at(program, "bar", i)) != NULL; i++) {
        struct fault fault;
        json_t *bar = cutlist_bar(text, &fault);
        if (bar == NULL) {
            program_wrong(program, EXIT_USAGE, "--bar", "%s", fault.message);
            return false;
        }
        json_array_append_new(bars, bar);
    }
    if (json_array_size(bars) > 0)
        return true;
    program_wrong(program, EXIT_USAGE, "--bar", "A CSV file holds pieces only; say what bars there are.");
    return false;
}

/* The problem from a CSV file of pieces and the options; NULL after saying why. */
static json_t *problem_of_csv(const struct program *program, const char *path) {
    size_t count;
    struct fault fault;
    char *bytes = file_text(program, path, CSV_BYTES, &count);
    if (bytes == NULL)
        return NULL;
    json_t *pieces = cutlist_pieces(bytes, count, &fault), *problem = json_object();
    free(bytes);
    bool good = pieces != NULL;
    if (good)
        json_object_set_new(problem, "pieces", pieces);
    else
        program_wrong(program, EXIT_USAGE, path, "%s: %s", fault.where, fault.message);
    json_object_set_new(problem, "kerf", json_integer(0));
    good = good && take_bars(program, problem) && take_length(program, "kerf", problem, "kerf") &&
           take_length(program, "lead-trim", problem, "lead_trim") &&
           take_length(program, "tail-clamp", problem, "tail_clamp") && take_gang(program, problem) &&
           take_remainder(program, problem);
    if (good)
        return problem;
    json_decref(problem);
    return NULL;
}

/* A JSON file says everything itself; an option beside it would be one thing said twice. */
static json_t *read_problem(const struct program *program) {
    static const char *const for_csv[] = {"bar",    "kerf",          "lead-trim", "tail-clamp", "gang",
                                          "usable", "value-percent", "places",    NULL};
    const char *path = program->arguments[0];
    if (file_is_csv(path) || program_option(program, "bar") != NULL)
        return problem_of_csv(program, path);
    for (int i = 0; for_csv[i] != NULL; i++)
        if (program_option(program, for_csv[i]) != NULL) {
            program_wrong(program, EXIT_USAGE, path,
                          "--%s goes with a CSV file of pieces and --bar; in JSON the file says it.",
                          for_csv[i]);
            return NULL;
        }
    return program_read(program, path);
}

struct watching {
    struct progress line;
    double limit;
};

static bool show_progress(void *data, const struct cutting_progress *progress) {
    struct watching *watching = data;
    char note[80], best[ELL_LENGTH_TEXT], bound[ELL_LENGTH_TEXT];
    snprintf(note, sizeof note, "%s: best %s, not below %s", progress->phase,
             progress->has_best ? ell_length_text(progress->best, best) : "none",
             ell_length_text(progress->bound, bound));
    progress_show(&watching->line, progress->seconds / watching->limit, note);
    return true;
}

static bool read_limits(const struct program *program, struct cutting_options *options) {
    int64_t seed, milliseconds = 10000;
    const char *text = program_option(program, "time-limit");
    if (text != NULL) {
        char *rest;
        double seconds = strtod(text, &rest);
        if (rest == text || *rest != '\0' || !(seconds >= 0.01 && seconds <= 86400)) {
            program_wrong(program, EXIT_USAGE, "--time-limit",
                          "\"%s\" is not a number of seconds, 0.01 to 86400.", text);
            return false;
        }
        milliseconds = llround(seconds * 1000);
    }
    options->seconds = (double)milliseconds / 1000;
    options->cancel = &cancelled;
    if (!program_number(program, "seed", 0, INT64_MAX, 1, &seed))
        return false;
    options->seed = (uint64_t)seed;
    return true;
}

static void show(const struct program *program, const json_t *problem, const json_t *plan) {
    struct picture_style style = {.columns = program->screen.width > 0 ? program->screen.width : 100,
                                  .colour = program->screen.colour,
                                  .ascii = !program->screen.unicode};
    size_t size = cutting_picture(problem, plan, &style, NULL, 0) + 1;
    char *text = malloc(size);
    if (text != NULL && cutting_picture(problem, plan, &style, text, size) > 0)
        fputs(text, program->screen.file);
    free(text);
    static const struct column unmet[] = {{"left out", "piece", COLUMN_TEXT},
                                          {"quantity", "quantity", COLUMN_NUMBER},
                                          {"because", "why", COLUMN_TEXT}};
    static const struct column buy[] = {{"get bars", "bar", COLUMN_TEXT}, {"count", "count", COLUMN_NUMBER}};
    if (json_array_size(json_object_get(plan, "unmet")) > 0)
        table_print(&program->screen, unmet, 3, json_object_get(plan, "unmet"), "");
    if (json_array_size(json_object_get(plan, "buy")) > 0)
        table_print(&program->screen, buy, 2, json_object_get(plan, "buy"), "");
}

static int solve(struct program *program, const json_t *problem) {
    struct cutting_options options = cutting_options_default();
    struct watching watching;
    struct fault fault;
    json_t *plan = NULL;
    if (!read_limits(program, &options))
        return EXIT_USAGE;
    watching.limit = options.seconds;
    options.progress = show_progress;
    options.progress_data = &watching;
    struct sigaction action = {.sa_handler = cancel, .sa_flags = SA_RESETHAND};
    sigaction(SIGINT, &action, NULL);
    progress_begin(&watching.line, &program->notices, "Planning");
    bool good = cutlist_run(problem, &options, &plan, &fault);
    progress_end(&watching.line);
    /* Nothing is shown that the checker, which knows nothing of the optimiser, does not find right. */
    if (!good || !plan_check(problem, plan, &fault)) {
        json_decref(plan);
        return program_fault(program, &fault);
    }
    if (!program_json(program, plan))
        show(program, problem, plan);
    bool whole = json_array_size(json_object_get(plan, "unmet")) == 0;
    json_decref(plan);
    return whole ? EXIT_DONE : EXIT_REFUSED;
}

static int run(struct program *program) {
    json_t *problem = read_problem(program);
    int code = problem != NULL ? solve(program, problem) : EXIT_USAGE;
    json_decref(problem);
    return code;
}

static const struct command_option options[] = {
    {"time-limit", "SECONDS", "Stop searching then; 10 if not given"},
    {"seed", "NUMBER", "Of the search's chance; 1 if not given"},
    {"bar", "NAME=LENGTH[xCOUNT][s]",
     "With a CSV file: bars there are; COUNT of them, s: its end is square. May be repeated"},
    {"kerf", "LENGTH", "With a CSV file: width of the blade's cut"},
    {"lead-trim", "LENGTH", "With a CSV file: taken off an end that is not square"},
    {"tail-clamp", "LENGTH", "With a CSV file: what the clamp keeps"},
    {"gang", "NUMBER", "With a CSV file: equal bars that the saw takes at once; 1 if not given"},
    {"usable", "LENGTH", "With a CSV file: remainders from this length on go back to the rack"},
    {"value-percent", "PERCENT", "With a CSV file: what they are worth; 80 if not given"},
    {"places", "NUMBER", "With a CSV file: how many the rack can take"},
    {0}};

const struct command command_cutlist = {
    .name = "cutlist",
    .group = GROUP_SAW,
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Cut a list of pieces with least loss, without a daemon",
    .more = "FILE is JSON with kerf, bars and pieces, or CSV with name, length and quantity of each piece. "
            "Lengths are millimetres unless they carry a unit. Prints the bars to scale, what is left of "
            "them, and whether the plan is proven to be the best; Ctrl-C prints the best found so far. Ends "
            "with 1 when pieces had to be left out.",
    .options = options,
    .run = run,
};
