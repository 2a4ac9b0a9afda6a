/* What commands lean on. SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include "common/document.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

const char program_exits[] =
    "Ends with 0: done; 1: refused, or a check found something; 2: the command line\nor the settings are "
    "wrong; 3: no "
    "daemon answers; 4: no answer in time; 5: the\ndaemon does not take this key; 6: other trouble.\n";

const char *program_option_at(const struct program *program, const char *name, int index) {
    const struct command_option *options = program->command->options;
    for (int i = 0; options != NULL && i < program->given_count; i++)
        if (strcmp(options[program->given[i].option].name, name) == 0 && index-- == 0)
            return program->given[i].value;
    return NULL;
}

const char *program_option(const struct program *program, const char *name) {
    const char *last = NULL, *value;
    for (int i = 0; (value = program_option_at(program, name, i)) != NULL; i++)
        last = value;
    return last;
}

bool program_switch(const struct program *program, const char *name) {
    return program_option(program, name) != NULL;
}

static int say(const struct program *program, enum exit_code code, const char *where, const char *message) {
    const struct screen *screen = &program->notices;
    const char *place = where[0] != '\0' ? where : "ellwand";
    bool long_message =
        screen->width > 0 && screen_columns(place) + 2 + screen_columns(message) > screen->width;
    fflush(program->screen.file);
    screen_text(screen, PAINT_RED, place);
    fputs(long_message ? ":\n" : ": ", screen->file);
    if (long_message) {
        screen_paragraph(screen, 4, message);
    } else {
        screen_text(screen, PAINT_PLAIN, message);
        putc('\n', screen->file);
    }
    return code;
}

int program_wrong(const struct program *program, enum exit_code code, const char *where, const char *format,
                  ...) {
    char message[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    return say(program, code, where, message);
}

int program_fault(const struct program *program, const struct fault *fault) {
    bool trouble = strcmp(fault->code, "no-file") == 0 || strcmp(fault->code, "out-of-memory") == 0;
    return say(program, trouble ? EXIT_TROUBLE : EXIT_REFUSED, fault->where, fault->message);
}

int program_error(const struct program *program, const struct ell_error *error) {
    static const enum exit_code codes[] = {[ELL_REFUSED] = EXIT_REFUSED, [ELL_UNREACHABLE] = EXIT_UNREACHABLE,
                                           [ELL_TIMEOUT] = EXIT_LATE,    [ELL_KEY_REFUSED] = EXIT_KEY,
                                           [ELL_MISUSE] = EXIT_USAGE,    [ELL_BROKEN] = EXIT_TROUBLE};
    return say(program, codes[error->failure], error->where, error->message);
}

bool program_length(const struct program *program, const char *name, ell_length least, ell_length most,
                    ell_length otherwise, ell_length *length) {
    const char *text = program_option(program, name);
    char low[ELL_LENGTH_TEXT], high[ELL_LENGTH_TEXT];
    ell_length read = otherwise;
    if (text != NULL && (!ell_length_parse(text, &read) || read < least || read > most)) {
        program_wrong(program, EXIT_USAGE, name, "\"%s\" is not a length of %s to %s mm.", text,
                      ell_length_text(least, low), ell_length_text(most, high));
        return false;
    }
    *length = read;
    return true;
}

bool program_number(const struct program *program, const char *name, int64_t least, int64_t most,
                    int64_t otherwise, int64_t *number) {
    const char *text = program_option(program, name);
    char *rest = NULL;
    long long read = text != NULL ? strtoll(text, &rest, 10) : otherwise;
    if (text != NULL && (rest == text || *rest != '\0' || read < least || read > most)) {
        program_wrong(program, EXIT_USAGE, name,
                      "\"%s\" is not a whole number of %" PRId64 " to %" PRId64 ".", text, least, most);
        return false;
    }
    *number = read;
    return true;
}

static bool open_client(struct program *program, struct ell_error *error) {
    const struct settings *settings = &program->settings;
    struct ell_key server = {0}, own = {0};
    struct ell_client_options options = {.endpoint = settings->server, .timeout_ms = settings->timeout_ms};
    if (settings->server_key[0] != '\0') {
        if (!ell_key_read(settings->server_key, &server, error))
            return false;
        options.server_key = server.public_half;
    }
    if (settings->key[0] != '\0') {
        if (!ell_key_read(settings->key, &own, error))
            return false;
        options.key = &own;
    }
    bool good = ell_client_open(&options, &program->client, error);
    explicit_bzero(&own, sizeof own);
    return good;
}

struct ell_client *program_client(struct program *program, int *code) {
    struct ell_error error = {0};
    *code = EXIT_DONE;
    if (program->client == NULL && !open_client(program, &error))
        *code = program_error(program, &error);
    return program->client;
}

int program_ask(struct program *program, const char *verb, json_t *body, json_t **result,
                struct ell_error *error) {
    int code;
    struct ell_client *client = program_client(program, &code);
    char *text = body != NULL ? json_dumps(body, DOCUMENT_COMPACT) : NULL, *reply = NULL;
    const char *id = program->settings.request_id[0] != '\0' ? program->settings.request_id : NULL;
    struct fault fault;
    if (client != NULL && !ell_client_call(client, verb, id, text, 0, &reply, error)) {
        code = EXIT_REFUSED;
    } else if (client != NULL) {
        json_t *tree = document_read(reply, strlen(reply), &document_large, &fault);
        if (tree == NULL)
            code = program_wrong(program, EXIT_TROUBLE, verb, "The daemon's answer is not JSON.");
        else
            *result = tree;
    }
    json_decref(body);
    free(text);
    free(reply);
    return code;
}

int program_refused(struct program *program, const struct ell_error *error) {
    int code = program_error(program, error);
    if (code == EXIT_LATE)
        fprintf(program->notices.file, "To ask again for the same: --request-id %s\n",
                ell_client_request_id(program->client));
    return code;
}

int program_call(struct program *program, const char *verb, json_t *body, json_t **result) {
    struct ell_error error = {0};
    int code = program_ask(program, verb, body, result, &error);
    return error.code[0] != '\0' || error.message[0] != '\0' ? program_refused(program, &error) : code;
}

bool program_json(const struct program *program, const json_t *result) {
    if (!program->settings.json)
        return false;
    json_dumpf(result, program->screen.file, DOCUMENT_COMPACT);
    putc('\n', program->screen.file);
    return true;
}

/* Some verbs answer page by page: "next" is the "after" of the following one. Adds all pages to the first,
 * unless a limit was asked for. */
static int read_pages(struct program *program, const char *verb, json_t *body, const char *field,
                      json_t *result) {
    json_t *rows = json_object_get(result, field), *next;
    int code = EXIT_DONE;
    bool whole = json_object_get(body, "limit") == NULL;
    while (whole && code == EXIT_DONE && (next = json_object_get(result, "next")) != NULL &&
           !json_is_null(next)) {
        json_t *page = NULL;
        json_object_set(body, "after", next);
        json_object_del(result, "next");
        code = program_call(program, verb, json_incref(body), &page);
        json_array_extend(rows, json_object_get(page, field));
        json_object_set(result, "next", json_object_get(page, "next"));
        json_decref(page);
    }
    return code;
}

int program_pages(struct program *program, const char *verb, json_t *body, const char *field,
                  json_t **result) {
    json_t *first = NULL;
    int code = program_call(program, verb, json_incref(body), &first);
    if (code == EXIT_DONE)
        code = read_pages(program, verb, body, field, first);
    if (code == EXIT_DONE)
        *result = first;
    else
        json_decref(first);
    return code;
}

int program_list(struct program *program, const char *verb, json_t *body, const char *field,
                 const struct column columns[], size_t count, const char *nothing) {
    json_t *result = NULL;
    if (body == NULL)
        body = json_object();
    int code = program_pages(program, verb, body, field, &result);
    if (code == EXIT_DONE && !program_json(program, result)) {
        rows_share_unit(result, field);
        table_print(&program->screen, columns, count, json_object_get(result, field), nothing);
    }
    json_decref(result);
    json_decref(body);
    return code;
}

int program_show(struct program *program, const char *verb, json_t *body, const struct column fields[],
                 size_t count) {
    json_t *result = NULL;
    int code = program_call(program, verb, body, &result);
    if (code == EXIT_DONE && !program_json(program, result))
        fields_print(&program->screen, fields, count, result);
    json_decref(result);
    return code;
}

json_t *program_read(const struct program *program, const char *path) {
    struct fault fault;
    json_t *json = document_read_file(path, &document_large, &fault);
    if (json == NULL) {
        /* The reader knows the line, not the file. */
        char where[400];
        bool other = strcmp(fault.where, path) != 0 && fault.where[0] != '\0';
        snprintf(where, sizeof where, "%s%s%s", path, other ? ", " : "", other ? fault.where : "");
        program_wrong(program, EXIT_USAGE, where, "%s", fault.message);
    }
    return json;
}
