/* What a command of `ellwand` is made of. A command is one file in client/commands/ that defines
 *
 *     const struct command command_order_list = {.name = "order list", ...};     in commands/order_list.c
 *
 * The build finds it; no other file has to be touched. commands/order_list.c is the one to copy.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_COMMAND_H
#define ELLWAND_CLIENT_COMMAND_H

#include "screen.h"

#include "common/fault.h"

#include <ellwand/client.h>
#include <ellwand/length.h>
#include <jansson.h>
#include <stdint.h>

/* What the program tells the shell; in the help text of `ellwand --help`. */
enum exit_code {
    EXIT_DONE = 0,
    EXIT_REFUSED = 1,     /* the answer is no, or a check found something */
    EXIT_USAGE = 2,       /* the command line or the client's configuration is wrong */
    EXIT_UNREACHABLE = 3, /* no daemon answers */
    EXIT_LATE = 4,        /* no answer in time: it is not known whether the thing was done */
    EXIT_KEY = 5,         /* the daemon does not take this key */
    EXIT_TROUBLE = 6      /* a file, memory, or an answer that makes no sense */
};

/* The same in words, for --help and the manual. */
extern const char program_exits[];

struct command_option {
    const char *name;  /* "catalogue" for --catalogue */
    const char *value; /* what it takes, "FILE"; NULL for a switch */
    const char *help;
};

struct program;

/* Whose work a command is part of: where `ellwand --help` lists it. */
enum command_group { GROUP_ANYONE = 1, GROUP_DESK, GROUP_SAW, GROUP_STORES, GROUP_MANAGER, GROUP_SETUP };

struct command {
    const char *name; /* one word or two: "audit", "order list" */
    enum command_group group;
    const char *arguments;                /* "FILE..." as the usage line shows it; NULL for none */
    int least, most;                      /* how many arguments; most -1: any number */
    const char *summary;                  /* one line */
    const char *more;                     /* further text of --help, or NULL */
    const struct command_option *options; /* closed by {0}, or NULL; at most COMMAND_OPTIONS */
    int (*run)(struct program *program);  /* an exit_code */
};

enum { COMMAND_OPTIONS = 24 };

struct settings {
    char server[256], server_key[512], key[512]; /* endpoint; file names, "" for none */
    int timeout_ms;
    char request_id[ELL_REQUEST_ID_MAX + 1]; /* "" for a new one */
    bool json;                               /* print results as JSON */
};

struct option_given {
    int option; /* index into the command's options */
    const char *value;
};

struct program {
    const struct command *command;
    struct settings settings;
    struct screen screen;  /* standard output */
    struct screen notices; /* standard error */
    int argument_count;
    char **arguments;
    struct option_given *given; /* the command's options as given, in that order */
    int given_count;
    struct ell_client *client; /* opened by the first call */
};

/* --- Options of the command --- */

/* The option's text, the last if given twice; "" for a switch that was given, NULL when it was not given. */
const char *program_option(const struct program *program, const char *name);
/* The same for an option that may be given several times: its text number `index` from 0; NULL when there are
 * fewer. */
const char *program_option_at(const struct program *program, const char *name, int index);
bool program_switch(const struct program *program, const char *name);
/* The option as a length ("2.2", "60 cm") or a whole number within bounds, `otherwise` when it was not given.
 * False, with the reason on standard error, when it is neither. */
bool program_length(const struct program *program, const char *name, ell_length least, ell_length most,
                    ell_length otherwise, ell_length *length) MUST_CHECK;
bool program_number(const struct program *program, const char *name, int64_t least, int64_t most,
                    int64_t otherwise, int64_t *number) MUST_CHECK;

/* --- Trouble: a line on standard error, and the exit code for it --- */

int program_wrong(const struct program *program, enum exit_code code, const char *where, const char *format,
                  ...) PRINTF_LIKE(4, 5);
int program_fault(const struct program *program,
                  const struct fault *fault); /* of the rooms that need no daemon */
int program_error(const struct program *program, const struct ell_error *error);

/* --- The daemon --- */

/* The client, opened on first use; NULL after saying why not, with the exit code in *code. */
struct ell_client *program_client(struct program *program, int *code);

/* Asks the daemon. `body` is taken over; NULL is {}. On EXIT_DONE the caller owns *result. */
int program_call(struct program *program, const char *verb, json_t *body, json_t **result) MUST_CHECK;

/* The same for whoever wants to say in his own words why not: an error of the daemon or the connection lies in *error (its
 * message is "" otherwise) and nothing is said of it yet; program_refused says it and gives its exit code. */
int program_ask(struct program *program, const char *verb, json_t *body, json_t **result,
                struct ell_error *error) MUST_CHECK;
int program_refused(struct program *program, const struct ell_error *error);

/* With --json prints the result as it came and returns true, so that nothing else need be printed. */
bool program_json(const struct program *program, const json_t *result);

/* Asks a verb that answers page by page ("next") until it has given all rows of `field`, or the one page that "limit" in
 * `body` asks for. `body` stays the caller's, and is changed ("after"). On EXIT_DONE the caller owns *result. */
int program_pages(struct program *program, const char *verb, json_t *body, const char *field,
                  json_t **result) MUST_CHECK;

/* Whole commands in one call: ask, and print the rows under `field` of the result as a table, or the result's
 * own fields; `nothing` is said when there are no rows. A list that the daemon gives page by page ("next") is
 * fetched whole. */
int program_list(struct program *program, const char *verb, json_t *body, const char *field,
                 const struct column columns[], size_t count, const char *nothing);
int program_show(struct program *program, const char *verb, json_t *body, const struct column fields[],
                 size_t count);

/* Reads a JSON file ("-" is standard input) with the large limits; NULL after saying why, with EXIT_USAGE
 * meant. */
json_t *program_read(const struct program *program, const char *path);

/* All commands, by name; made by the build. */
extern const struct command *const command_table[];
extern const size_t command_count;

#endif
