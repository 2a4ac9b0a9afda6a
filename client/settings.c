/* SPDX-License-Identifier: Apache-2.0 */
#include "settings.h"

#include "common/text.h"

#include <libconfig.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { CONFIG = 1000, SERVER, SERVER_KEY, KEY, JSON, TIMEOUT, REQUEST_ID };

static const struct argp_option options[] = {
    {NULL, 0, NULL, 0, "Every command takes:", 100},
    {"server", SERVER, "ENDPOINT", 0, "Where the daemon listens, such as tcp://127.0.0.1:5577", 100},
    {"server-key", SERVER_KEY, "FILE", 0, "The daemon's public key file", 100},
    {"key", KEY, "FILE", 0, "Your own key file", 100},
    {"config", CONFIG, "FILE", 0, "Settings; usually ~/.config/ellwand/client.conf", 100},
    {"timeout", TIMEOUT, "SECONDS", 0, "How long to wait for an answer; 10 if not given", 100},
    {"request-id", REQUEST_ID, "ID", 0, "Ask again for what may have been done already", 100},
    {"json", JSON, NULL, 0, "Print the answer as JSON", 100},
    {0}};

static error_t take_option(int option, char *value, struct argp_state *state) {
    struct settings_given *given = state->input;
    switch (option) {
    case CONFIG:
        given->config = value;
        return 0;
    case SERVER:
        given->server = value;
        return 0;
    case SERVER_KEY:
        given->server_key = value;
        return 0;
    case KEY:
        given->key = value;
        return 0;
    case TIMEOUT:
        given->timeout = value;
        return 0;
    case REQUEST_ID:
        given->request_id = value;
        return 0;
    case JSON:
        given->json = true;
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

const struct argp settings_argp = {options, take_option, NULL, NULL, NULL, NULL, NULL};

const struct settings_key settings_keys[] = {
    {"server", "server", "ELLWAND_SERVER", "\"tcp://workshop.example:5577\"",
     "Where the daemon listens; tcp://127.0.0.1:5577 if not given"},
    {"server_key", "server-key", "ELLWAND_SERVER_KEY", "\"daemon.key.public\"",
     "The file with the daemon's public key; a name that does not begin with / counts from the folder of "
     "this file"},
    {"key", "key", "ELLWAND_KEY", "\"anna.key\"",
     "The file with your own key, which you alone may read; a name that does not begin with / counts from "
     "the "
     "folder of this file"},
    {"timeout", "timeout", NULL, "10",
     "How many seconds to wait for an answer, 0.1 to 86400; 10 if not given"},
};
const size_t settings_key_count = sizeof settings_keys / sizeof settings_keys[0];

static bool wrong_line(const char *path, unsigned line, const char *what, struct fault *fault) {
    char where[160];
    snprintf(where, sizeof where, "%.140s:%u", path, line);
    return fault_set(fault, "bad-configuration", where, "%s", what);
}

/* Names of files in the configuration count from its own folder, so that the folder can be moved. */
static bool take_path(const char *path, const char *value, char *target, size_t size, struct fault *fault) {
    const char *slash = strrchr(path, '/');
    int written = value[0] == '/' || slash == NULL
                      ? snprintf(target, size, "%s", value)
                      : snprintf(target, size, "%.*s/%s", (int)(slash - path), path, value);
    return (written >= 0 && (size_t)written < size) ||
           fault_set(fault, "too-large", path, "The name of a key file is too long.");
}

static bool take_timeout(double seconds, const char *where, struct settings *settings, struct fault *fault) {
    if (!(seconds >= 0.1 && seconds <= 86400))
        return fault_set(fault, "out-of-range", where, "A timeout is 0.1 to 86400 seconds.");
    settings->timeout_ms = (int)lround(seconds * 1000);
    return true;
}

static bool take_setting(const char *path, const config_setting_t *setting, struct settings *settings,
                         struct fault *fault) {
    const char *name = config_setting_name(setting), *text = config_setting_get_string(setting);
    unsigned line = config_setting_source_line(setting);
    bool number = config_setting_is_number(setting);
    if (strcmp(name, "timeout") == 0 && number) {
        double seconds = config_setting_type(setting) == CONFIG_TYPE_FLOAT ? config_setting_get_float(setting)
                                                                           : config_setting_get_int(setting);
        return take_timeout(seconds, "timeout", settings, fault);
    }
    if (strcmp(name, "server") == 0 && text != NULL)
        return text_copy(settings->server, sizeof settings->server, text) ||
               wrong_line(path, line, "The endpoint is too long.", fault);
    if (strcmp(name, "server_key") == 0 && text != NULL)
        return take_path(path, text, settings->server_key, sizeof settings->server_key, fault);
    if (strcmp(name, "key") == 0 && text != NULL)
        return take_path(path, text, settings->key, sizeof settings->key, fault);
    return wrong_line(
        path, line,
        "Known here are server, server_key and key (texts in quotes) and timeout (a number of seconds).",
        fault);
}

static bool read_file(const char *path, struct settings *settings, struct fault *fault) {
    config_t config;
    config_init(&config);
    bool good = config_read_file(&config, path) == CONFIG_TRUE;
    if (!good && config_error_type(&config) == CONFIG_ERR_FILE_IO)
        fault_set(fault, "no-file", path, "The configuration cannot be read.");
    else if (!good)
        wrong_line(path, (unsigned)config_error_line(&config), config_error_text(&config), fault);
    const config_setting_t *root = config_root_setting(&config);
    for (int i = 0; good && i < config_setting_length(root); i++)
        good = take_setting(path, config_setting_get_elem(root, (unsigned)i), settings, fault);
    config_destroy(&config);
    return good;
}

void settings_usual_path(char path[600]) {
    const char *base = getenv("XDG_CONFIG_HOME"), *home = getenv("HOME");
    int written = base != NULL && base[0] == '/' ? snprintf(path, 600, "%s/ellwand/client.conf", base)
                  : home != NULL                 ? snprintf(path, 600, "%s/.config/ellwand/client.conf", home)
                                                 : -1;
    if (written < 0 || written >= 600)
        path[0] = '\0';
}

/* The usual file may be absent; one that was named may not. */
static bool read_config(const char *named, struct settings *settings, struct fault *fault) {
    char path[600];
    if (named == NULL)
        named = getenv("ELLWAND_CONFIG");
    if (named != NULL && named[0] != '\0')
        return read_file(named, settings, fault);
    settings_usual_path(path);
    return path[0] == '\0' || access(path, F_OK) != 0 || read_file(path, settings, fault);
}

static bool override(const char *given, const char *variable, char *target, size_t size,
                     struct fault *fault) {
    const char *value = given != NULL ? given : getenv(variable);
    return value == NULL || text_copy(target, size, value) ||
           fault_set(fault, "too-large", variable, "The text is too long; the most is %zu bytes.", size - 1);
}

bool settings_read(const struct settings_given *given, struct settings *settings, struct fault *fault) {
    struct settings read = {.server = "tcp://127.0.0.1:5577", .timeout_ms = 10000, .json = given->json};
    char *rest = NULL;
    if (!read_config(given->config, &read, fault) ||
        !override(given->server, "ELLWAND_SERVER", read.server, sizeof read.server, fault) ||
        !override(given->server_key, "ELLWAND_SERVER_KEY", read.server_key, sizeof read.server_key, fault) ||
        !override(given->key, "ELLWAND_KEY", read.key, sizeof read.key, fault))
        return false;
    if (given->timeout != NULL) {
        double seconds = strtod(given->timeout, &rest);
        if (rest == given->timeout || *rest != '\0')
            seconds = -1;
        if (!take_timeout(seconds, "--timeout", &read, fault))
            return false;
    }
    if (given->request_id != NULL &&
        !ell_word_valid(given->request_id, strlen(given->request_id), ELL_REQUEST_ID_MAX))
        return fault_set(fault, "bad-frames", "--request-id",
                         "An id is 1 to %d letters, digits, '.', '_' or '-'.", ELL_REQUEST_ID_MAX);
    if (given->request_id != NULL)
        text_copy(read.request_id, sizeof read.request_id, given->request_id);
    *settings = read;
    return true;
}
