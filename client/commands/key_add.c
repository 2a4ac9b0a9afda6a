/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <string.h>

/* "desk,stores" -> ["desk", "stores"] */
static json_t *roles_of(const char *text) {
    json_t *roles = json_array();
    for (const char *at = text; *at != '\0';) {
        size_t length = strcspn(at, ",");
        json_array_append_new(roles, json_stringn(at, length));
        at += length + (at[length] == ',');
    }
    return roles;
}

static int run(struct program *program) {
    static const struct column fields[] = {{"key", "name", COLUMN_TEXT}, {"roles", "roles", COLUMN_COUNT}};
    const char *roles = program_option(program, "roles");
    if (roles == NULL)
        return program_wrong(program, EXIT_USAGE, "roles",
                             "Say what it may do, with --roles desk,saw,stores,manager.");
    json_t *body = json_pack("{s:s, s:s, s:o}", "name", program->arguments[0], "public_key",
                             program->arguments[1], "roles", roles_of(roles));
    return program_show(program, "key.add", body, fields, sizeof fields / sizeof fields[0]);
}

static const struct command_option options[] = {
    {"roles", "ROLES", "One or more of desk, saw, stores, manager, with commas"}, {0}};

const struct command command_key_add = {
    .name = "key add",
    .group = GROUP_SETUP,
    .arguments = "NAME PUBLIC-KEY",
    .least = 2,
    .most = 2,
    .summary = "Let a client key in; `ellwand key new` makes one",
    .options = options,
    .run = run,
};
