/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <string.h>
#include <unistd.h>

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

/* A public half is full of signs that a shell takes for its own: its file is easier to hand over. *half becomes the word
 * itself or what the file holds, which lies in *key. */
static bool public_half(const char *word, struct ell_key *key, const char **half, struct ell_error *error) {
    bool is_file = access(word, F_OK) == 0;
    if (is_file && !ell_key_read(word, key, error))
        return false;
    explicit_bzero(key->secret, sizeof key->secret);
    *half = is_file ? key->public_half : word;
    return true;
}

static int run(struct program *program) {
    static const struct column fields[] = {{"key", "name", COLUMN_TEXT}, {"roles", "roles", COLUMN_COUNT}};
    const char *roles = program_option(program, "roles"), *half;
    struct ell_key key;
    struct ell_error error;
    if (roles == NULL)
        return program_wrong(program, EXIT_USAGE, "roles",
                             "Say what it may do, with --roles desk,saw,stores,manager.");
    if (!public_half(program->arguments[1], &key, &half, &error))
        return program_error(program, &error);
    json_t *body = json_pack("{s:s, s:s, s:o}", "name", program->arguments[0], "public_key", half, "roles",
                             roles_of(roles));
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
    .summary = "Let a client key in; `ellwand join` makes one",
    .more = "PUBLIC-KEY is the public half, or the file that holds it (NAME.key.public).",
    .options = options,
    .run = run,
};
