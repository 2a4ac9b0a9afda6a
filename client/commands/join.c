/* A person's first command on a new machine. SPDX-License-Identifier: Apache-2.0 */
#include "command.h"
#include "new_file.h"
#include "settings.h"

#include <errno.h>
#include <pwd.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH = 640 };

struct places {
    char folder[PATH], settings[PATH], own_key[PATH], own_public[PATH], server_key[PATH];
};

/* The folder of the settings with those above it, for oneself alone. */
static bool make_folder(char *folder) {
    for (char *slash = strchr(folder + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        bool there = mkdir(folder, 0700) == 0 || errno == EEXIST;
        *slash = '/';
        if (!there)
            return false;
    }
    return mkdir(folder, 0700) == 0 || errno == EEXIST;
}

static int find_places(const struct program *program, const char *name, struct places *places) {
    char path[600];
    settings_usual_path(path);
    char *slash = strrchr(path, '/');
    if (slash == NULL)
        return program_wrong(program, EXIT_USAGE, "HOME",
                             "The home folder is not known, or its name is too long.");
    if (!ell_word_valid(name, strlen(name), ELL_KEY_NAME_MAX))
        return program_wrong(program, EXIT_USAGE, "--name",
                             "A name is 1 to %d letters, digits, '.', '_' or '-'.", ELL_KEY_NAME_MAX);
    snprintf(places->settings, PATH, "%s", path);
    *slash = '\0';
    snprintf(places->folder, PATH, "%s", path);
    snprintf(places->own_key, PATH, "%s/%s.key", path, name);
    int longest = snprintf(places->own_public, PATH, "%s/%s.key.public", path, name);
    snprintf(places->server_key, PATH, "%s/daemon.key.public", path);
    if (longest >= PATH)
        return program_wrong(program, EXIT_USAGE, "HOME", "The name of the home folder is too long.");
    if (access(places->settings, F_OK) == 0)
        return program_wrong(program, EXIT_REFUSED, places->settings,
                             "There are settings already. Change them by hand, or move them away.");
    return EXIT_DONE;
}

/* The endpoint goes into a quoted text of the file, and is there to connect to. */
static bool endpoint_valid(const char *endpoint) {
    return (strncmp(endpoint, "tcp://", 6) == 0 || strncmp(endpoint, "ipc://", 6) == 0) &&
           strlen(endpoint) < 256 && strpbrk(endpoint, "\"\\ \t\r\n") == NULL;
}

/* A key made earlier is taken again. */
static bool own_key(const struct places *places, const char *name, struct ell_key *key,
                    struct ell_error *error) {
    bool made = access(places->own_key, F_OK) == 0
                    ? ell_key_read(places->own_key, key, error)
                    : ell_key_make(name, key, error) && ell_key_write(places->own_key, key, true, error);
    return made &&
           (access(places->own_public, F_OK) == 0 || ell_key_write(places->own_public, key, false, error));
}

static bool server_key(const char *from, const char *to, struct ell_error *error) {
    struct ell_key key, there;
    struct ell_error ignored;
    if (!ell_key_read(from, &key, error))
        return false;
    bool same = ell_key_read(to, &there, &ignored) && strcmp(key.public_half, there.public_half) == 0;
    return same || ell_key_write(to, &key, false, error);
}

static int write_settings(const struct program *program, const char *path, const char *endpoint,
                          const char *name) {
    struct new_file file;
    if (!new_file_begin(path, &file))
        return program_wrong(program, EXIT_TROUBLE, path, "It cannot be written: %s.", strerror(errno));
    fprintf(file.file,
            "# Settings of `ellwand`; see ellwand-client.conf(5).\nserver = \"%s\";\n"
            "server_key = \"daemon.key.public\";\nkey = \"%s.key\";\n",
            endpoint, name);
    if (!new_file_keep(&file, path))
        return program_wrong(program, EXIT_TROUBLE, path, "It cannot be written: %s.", strerror(errno));
    return EXIT_DONE;
}

static int tell(struct program *program, const struct places *places, const struct ell_key *key) {
    json_t *result =
        json_pack("{s:s, s:s, s:s, s:s, s:s}", "settings", places->settings, "name", key->name, "public",
                  key->public_half, "key_file", places->own_key, "public_file", places->own_public);
    static const struct column fields[] = {{"settings", "settings", COLUMN_TEXT},
                                           {"your name", "name", COLUMN_TEXT},
                                           {"your key", "key_file", COLUMN_TEXT},
                                           {"its public half", "public_file", COLUMN_TEXT}};
    if (!program_json(program, result)) {
        fields_print(&program->screen, fields, sizeof fields / sizeof fields[0], result);
        fprintf(program->screen.file,
                "\nTo be let in, hand that public half to a manager, who says, with your role:\n"
                "  ellwand key add %s %s.key.public --roles ROLE\nThen try: ellwand ping\n",
                key->name, key->name);
    }
    json_decref(result);
    return EXIT_DONE;
}

static int run(struct program *program) {
    const char *endpoint = program->arguments[0], *name = program_option(program, "name");
    struct places places;
    struct ell_key key;
    struct ell_error error;
    const struct passwd *user = getpwuid(geteuid());
    if (name == NULL && user != NULL)
        name = user->pw_name;
    if (name == NULL)
        return program_wrong(program, EXIT_USAGE, "--name", "Say how you are to be called, with --name.");
    if (!endpoint_valid(endpoint))
        return program_wrong(program, EXIT_USAGE, endpoint,
                             "This is not an address to connect to. One looks like tcp://127.0.0.1:5577.");
    int code = find_places(program, name, &places);
    if (code != EXIT_DONE)
        return code;
    if (!make_folder(places.folder))
        return program_wrong(program, EXIT_TROUBLE, places.folder, "The folder cannot be made: %s.",
                             strerror(errno));
    if (!server_key(program->arguments[1], places.server_key, &error) ||
        !own_key(&places, name, &key, &error))
        return program_error(program, &error);
    code = write_settings(program, places.settings, endpoint, name);
    if (code == EXIT_DONE)
        code = tell(program, &places, &key);
    explicit_bzero(key.secret, sizeof key.secret);
    return code;
}

static const struct command_option options[] = {
    {"name", "NAME", "How you are called in the workshop; your user name here if not given"}, {0}};

const struct command command_join = {
    .name = "join",
    .group = GROUP_SETUP,
    .arguments = "ENDPOINT DAEMON-KEY",
    .least = 2,
    .most = 2,
    .summary = "Make your key and settings for a daemon",
    .more = "ENDPOINT is where the daemon listens, such as tcp://127.0.0.1:5577; DAEMON-KEY is the file with "
            "its public "
            "half (daemon.key.public), which whoever set it up hands out. Makes a key of your own, unless "
            "one of that "
            "name is there, and the settings file; nothing is written over. Then a manager lets your key in.",
    .options = options,
    .run = run,
};
