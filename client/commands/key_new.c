/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include <string.h>
#include <unistd.h>

static int run(struct program *program) {
    const char *out = program_option(program, "out");
    char path[512], open_path[520];
    struct ell_key key;
    struct ell_error error;
    int written = out != NULL ? snprintf(path, sizeof path, "%s", out)
                              : snprintf(path, sizeof path, "%s.key", program->arguments[0]);
    if (written < 0 || (size_t)written >= sizeof path)
        return program_wrong(program, EXIT_USAGE, "--out", "The name of the file is too long.");
    snprintf(open_path, sizeof open_path, "%s.public", path);
    if (!ell_key_make(program->arguments[0], &key, &error) || !ell_key_write(path, &key, true, &error))
        return program_error(program, &error);
    if (!ell_key_write(open_path, &key, false, &error)) {
        unlink(path);
        return program_error(program, &error);
    }
    explicit_bzero(key.secret, sizeof key.secret);
    json_t *result = json_pack("{s:s, s:s, s:s, s:s}", "name", key.name, "public", key.public_half,
                               "secret_file", path, "public_file", open_path);
    static const struct column fields[] = {{"name", "name", COLUMN_TEXT},
                                           {"public key", "public", COLUMN_TEXT},
                                           {"whole key in", "secret_file", COLUMN_TEXT},
                                           {"public half in", "public_file", COLUMN_TEXT}};
    if (!program_json(program, result))
        fields_print(&program->screen, fields, 4, result);
    json_decref(result);
    return EXIT_DONE;
}

static const struct command_option options[] = {
    {"out", "FILE", "Where the whole key goes; FILE.public gets the public half. NAME.key if not given"},
    {0}};

const struct command command_key_new = {
    .name = "key new",
    .group = GROUP_SETUP,
    .arguments = "NAME",
    .least = 1,
    .most = 1,
    .summary = "Make a key pair for a client or the daemon",
    .more = "The file with the secret half can be read by you alone and must stay on this machine. The "
            "public half is what a manager lets in. No file is ever written over.",
    .options = options,
    .run = run,
};
