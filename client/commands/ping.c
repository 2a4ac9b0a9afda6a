/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

static int run(struct program *program) {
    static const struct column fields[] = {
        {"daemon", "daemon", COLUMN_TEXT},     {"version", "version", COLUMN_TEXT},
        {"protocol", "protocol", COLUMN_TEXT}, {"your key", "key", COLUMN_TEXT},
        {"events at", "events", COLUMN_TEXT},  {"workers", "workers", COLUMN_NUMBER},
        {"busy", "busy", COLUMN_NUMBER},       {"waiting", "waiting", COLUMN_NUMBER},
    };
    return program_show(program, "ping", NULL, fields, sizeof fields / sizeof fields[0]);
}

const struct command command_ping = {
    .name = "ping",
    .group = GROUP_ANYONE,
    .summary = "Ask whether the daemon is there and knows you",
    .run = run,
};
