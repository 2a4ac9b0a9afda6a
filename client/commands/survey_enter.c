/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "survey_entry.h"
#include "survey_file.h"
#include "survey_page.h"
#include "survey_result.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct session {
    struct program *program;
    const char *path;
    struct survey_entry entry;
    bool asks; /* somebody sits at the terminal; else the answers come from a file or a pipe */
    long line; /* of standard input, from 1 */
    bool explains;
    char problem[sizeof((struct fault *)0)->message];
    json_t *takeoffs; /* of the windows finished in this session, by name */
};

/* A line of standard input without its end. One that is too long is cut just beyond what may be answered, and a NUL, which
 * no text may have, becomes another control character. False at the end. */
static bool read_line(struct session *session, char line[SURVEY_LINE + 1]) {
    size_t used = 0;
    int c;
    while ((c = getc(stdin)) != EOF && c != '\n')
        if (used < SURVEY_LINE)
            line[used++] = c == '\0' ? '\1' : (char)c;
    line[used] = '\0';
    session->line++;
    return c != EOF || used > 0;
}

/* What is in hand goes beside the file, or away when there is nothing. */
static int keep_begun(const struct session *session) {
    struct fault fault;
    if (!survey_entry_is_begun(&session->entry)) {
        survey_file_forget_begun(session->path);
        return EXIT_DONE;
    }
    json_t *begun = survey_entry_begun(&session->entry);
    int code = survey_file_keep_begun(session->path, begun, &fault) ? EXIT_DONE
                                                                    : program_fault(session->program, &fault);
    json_decref(begun);
    return code;
}

static int keep_order(const struct session *session) {
    struct fault fault;
    json_t *document = survey_entry_document(&session->entry);
    bool good = survey_file_write(session->path, document, &fault);
    json_decref(document);
    return good ? EXIT_DONE : program_fault(session->program, &fault);
}

static int keep_window(struct session *session) {
    const struct takeoff *takeoff = session->entry.takeoff;
    int code = keep_order(session);
    if (code != EXIT_DONE)
        return code;
    survey_file_forget_begun(session->path);
    json_object_set_new(session->takeoffs, takeoff->survey.window, takeoff_document(takeoff));
    if (!session->asks && !session->program->settings.json)
        survey_result_print(&session->program->screen, takeoff, SIZE_MAX);
    return EXIT_DONE;
}

/* --- The end --- */

static bool is_refused(const json_t *takeoff) {
    return json_is_true(json_object_get(takeoff, "refused"));
}

static int end(struct session *session) {
    const char *name;
    json_t *takeoff, *windows = json_array();
    int code = EXIT_DONE;
    size_t count = json_array_size(session->entry.windows);
    if (session->asks)
        fputs("\n", session->program->screen.file);
    if (count > 0 && !session->program->settings.json)
        fprintf(session->program->screen.file, "%s: windows %zu. To take the order: ellwand order take %s\n",
                session->path, count, session->path);
    json_object_foreach(session->takeoffs, name, takeoff) {
        json_array_append(windows, takeoff);
        if (is_refused(takeoff))
            code = program_wrong(
                session->program, EXIT_REFUSED, name,
                "As surveyed it must not be made, and the order will not be taken: change it with "
                "--window.");
    }
    json_t *result = json_pack("{s:s, s:o}", "file", session->path, "windows", windows);
    program_json(session->program, result);
    json_decref(result);
    return code;
}

/* The person stops, or the answers end. */
static int stop(struct session *session, bool said) {
    bool begun = survey_entry_is_begun(&session->entry);
    if (begun && !said && !session->asks) {
        struct survey_asked asked;
        survey_entry_asked(&session->entry, &asked);
        return program_wrong(session->program, EXIT_REFUSED, "standard input",
                             "The answers end after line %ld, before window %zu is complete; wanted is: %s.",
                             session->line - 1, session->entry.window + 1, asked.question->field);
    }
    int code = keep_begun(session);
    if (code == EXIT_DONE)
        code = end(session);
    if (begun)
        fprintf(session->program->notices.file,
                "What is begun lies in %s.begun; ellwand survey enter %s goes on with it.\n", session->path,
                session->path);
    return code;
}

/* --- Lines --- */

static int wrong(struct session *session, const struct fault *fault) {
    char where[64];
    if (session->asks) {
        snprintf(session->problem, sizeof session->problem, "%s", fault->message);
        return EXIT_DONE;
    }
    snprintf(where, sizeof where, "line %ld", session->line);
    const char *field = strrchr(fault->where, ']') != NULL && strrchr(fault->where, ']')[1] == '.'
                            ? strrchr(fault->where, ']') + 2
                            : fault->where;
    return program_wrong(session->program, EXIT_REFUSED, where, "%s: %s", field, fault->message);
}

static int explain(struct session *session) {
    struct survey_asked asked;
    session->explains = true;
    if (session->asks)
        return EXIT_DONE;
    survey_entry_asked(&session->entry, &asked);
    screen_paragraph(&session->program->screen, 0, asked.question->why);
    return EXIT_DONE;
}

/* One line; true in *ended when it was the last. */
static int take_line(struct session *session, bool *ended) {
    char line[SURVEY_LINE + 1];
    struct fault fault = {.code = ""};
    int code;
    session->explains = false;
    session->problem[0] = '\0';
    if (!read_line(session, line)) {
        *ended = true;
        return stop(session, false);
    }
    switch (survey_entry_line(&session->entry, line, &fault)) {
    case SURVEY_TAKEN:
        return session->asks ? keep_begun(session) : EXIT_DONE;
    case SURVEY_WRONG:
        return wrong(session, &fault);
    case SURVEY_EXPLAIN:
        return explain(session);
    case SURVEY_WINDOW:
        return keep_window(session);
    case SURVEY_ORDER:
        code = keep_order(session);
        return code == EXIT_DONE && session->asks ? keep_begun(session) : code;
    case SURVEY_STOP:
        *ended = true;
        return stop(session, true);
    case SURVEY_DONE:
        break;
    }
    *ended = true;
    return end(session);
}

static int talk(struct session *session) {
    bool ended = false;
    int code = EXIT_DONE;
    while (!ended && code == EXIT_DONE) {
        if (session->asks)
            survey_page_show(&session->program->screen, &session->entry, session->explains, session->problem);
        code = take_line(session, &ended);
    }
    return code;
}

/* --- Before the first question --- */

static struct catalogue *read_catalogue(struct program *program, int *code) {
    const char *path = program_option(program, "catalogue");
    json_t *rows = NULL;
    struct fault fault;
    *code = EXIT_USAGE;
    if (path != NULL)
        rows = program_read(program, path);
    else if ((*code = program_call(program, "catalogue.export", NULL, &rows)) == EXIT_UNREACHABLE)
        program_wrong(program, *code, "--catalogue",
                      "With a catalogue's file no daemon is needed; "
                      "ellwand catalogue export makes one.");
    struct catalogue *catalogue = rows != NULL ? catalogue_read(rows, &fault) : NULL;
    if (rows != NULL && catalogue == NULL)
        *code = program_fault(program, &fault);
    json_decref(rows);
    return catalogue;
}

static int take_up_begun(struct session *session, const json_t *begun) {
    const char *window = program_option(session->program, "window");
    if (begun != NULL && window != NULL)
        return program_wrong(session->program, EXIT_USAGE, "--window",
                             "A window is begun: finish it first, or remove %s.begun.", session->path);
    if (begun != NULL && !survey_entry_resume(&session->entry, begun))
        return program_wrong(session->program, EXIT_USAGE, session->path,
                             "What lies in %s.begun does not belong to this file; remove it.", session->path);
    if (window != NULL && !survey_entry_change(&session->entry, window))
        return program_wrong(session->program, EXIT_USAGE, "--window", "%s has no window \"%s\".",
                             session->path, window);
    return EXIT_DONE;
}

static int begin(struct session *session, const struct catalogue *catalogue) {
    json_t *order = NULL, *begun = NULL;
    struct fault fault;
    if (!survey_file_read(session->path, &order, &fault) ||
        !survey_file_begun(session->path, &begun, &fault)) {
        json_decref(order);
        return program_fault(session->program, &fault);
    }
    survey_entry_begin(&session->entry, catalogue, order);
    session->takeoffs = json_object();
    int code = take_up_begun(session, begun);
    if (code == EXIT_DONE)
        code = talk(session);
    survey_entry_end(&session->entry);
    json_decref(session->takeoffs);
    json_decref(begun);
    json_decref(order);
    return code;
}

static int run(struct program *program) {
    int code;
    struct session session = {.program = program,
                              .path = program->arguments[0],
                              .asks = isatty(STDIN_FILENO) != 0 && program->screen.terminal};
    struct catalogue *catalogue = read_catalogue(program, &code);
    if (catalogue != NULL)
        code = begin(&session, catalogue);
    catalogue_free(catalogue);
    return code;
}

static const struct command_option options[] = {
    {"catalogue", "FILE", "The catalogue from a file instead of from the daemon"},
    {"window", "NAME", "Change this window of the file"},
    {0}};

const struct command command_survey_enter = {
    .name = "survey enter",
    .group = GROUP_DESK,
    .arguments = "FILE",
    .least = 1,
    .most = 1,
    .summary = "Type in what was measured, question by question",
    .more =
        "FILE becomes an order for: ellwand order take FILE. Where it exists, windows are added to it. Each "
        "window is worked out as soon as it is complete, and the file written whole; what is not yet "
        "complete "
        "lies in FILE.begun, and the same command goes on with it.\n\n"
        "Measures are in the unit chosen at the beginning, or have their own: 183 cm, 72 1/2 in. Choices go "
        "by "
        "number, by word or by its beginning. Other lines: ? explains the question; < goes one back; <height "
        "to the "
        "question of that name, after which only what has no answer yet is asked; > takes what stands there "
        "and "
        "does likewise; - leaves it empty; . stops.\n\n"
        "Without a terminal the answers are the lines of standard input; the first wrong one ends it with 1 "
        "and "
        "the number of the line. Ends with 1 also when a window must not be made as surveyed.",
    .options = options,
    .run = run,
};
