/* SPDX-License-Identifier: Apache-2.0 */
#include "configuration.h"

#include "common/text.h"

#include <libconfig.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define TEXT(name, otherwise, example, meaning)                                                              \
    { #name, true, offsetof(struct configuration, name), otherwise, 0, 0, 0, example, meaning }
#define NUMBER(name, otherwise, least, most, meaning)                                                        \
    { #name, false, offsetof(struct configuration, name), NULL, otherwise, least, most, NULL, meaning }

const struct configuration_key configuration_keys[] = {
    TEXT(database, NULL, "dbname=ellwand",
         "How the daemon reaches PostgreSQL: a libpq connection string of a member of ellwand_daemon."),
    TEXT(workshop, NULL, "main", "The workshop that this daemon serves, by its name in the database."),
    TEXT(listen, "tcp://127.0.0.1:5577", NULL,
         "Where requests come in (ZeroMQ endpoint); tcp://*:5577 lets other machines in too."),
    TEXT(events, "tcp://127.0.0.1:5578", NULL,
         "Where events go out (ZeroMQ endpoint); tcp://*:5578 to other machines too."),
    TEXT(key_file, "", "/etc/ellwand/daemon.key",
         "The daemon's own CURVE key, made by `ellwand key new`. Must be given unless plain_key is."),
    TEXT(plain_key, "", NULL,
         "Serve without encryption, on loopback only, everybody being the key of this name. For trials."),
    TEXT(cups_server, "", NULL,
         "The CUPS scheduler: a socket path or host:port. Empty: libcups's own choice."),
    TEXT(log, "notice", NULL, "How much the daemon says on standard error: error, notice or debug."),
    NUMBER(connections, 8, 2, 64, "Connections to PostgreSQL."),
    NUMBER(workers, 4, 1, 32, "Requests that are worked on at the same time."),
    NUMBER(queue, 256, 1, 100000, "Requests that may wait; the next one is told to come back."),
    NUMBER(connect_timeout_ms, 3000, 100, 60000, "How long a connection to PostgreSQL may take."),
    NUMBER(statement_timeout_ms, 10000, 100, 600000, "How long one statement may take."),
    NUMBER(request_timeout_ms, 15000, 100, 600000, "How long one request may take, waiting included."),
};
const size_t configuration_key_count = sizeof configuration_keys / sizeof configuration_keys[0];

static void set_defaults(struct configuration *configuration) {
    for (size_t i = 0; i < configuration_key_count; i++) {
        char *field = (char *)configuration + configuration_keys[i].offset;
        if (configuration_keys[i].is_text)
            text_copy(field, CONFIGURATION_TEXT,
                      configuration_keys[i].text == NULL ? "" : configuration_keys[i].text);
        else
            memcpy(field, &configuration_keys[i].number, sizeof(int));
    }
}

static bool wrong(struct fault *fault, const char *path, int line, const char *format, const char *name) {
    char where[160];
    snprintf(where, sizeof where, "%s, line %d", path, line);
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    return fault_set(fault, "bad-configuration", where, format, name);
#pragma GCC diagnostic pop
}

static bool read_setting(const config_setting_t *setting, const char *path,
                         struct configuration *configuration, struct fault *fault) {
    const char *name = config_setting_name(setting);
    int line = (int)config_setting_source_line(setting);
    for (size_t i = 0; i < configuration_key_count; i++) {
        if (strcmp(configuration_keys[i].name, name) != 0)
            continue;
        char *field = (char *)configuration + configuration_keys[i].offset;
        if (configuration_keys[i].is_text) {
            const char *text = config_setting_get_string(setting);
            if (text == NULL)
                return wrong(fault, path, line, "%s takes a text in quotes.", name);
            return text_copy(field, CONFIGURATION_TEXT, text) ||
                   wrong(fault, path, line, "%s is too long.", name);
        }
        if (config_setting_type(setting) != CONFIG_TYPE_INT)
            return wrong(fault, path, line, "%s takes a whole number.", name);
        int number = config_setting_get_int(setting);
        if (number < configuration_keys[i].least || number > configuration_keys[i].most)
            return wrong(fault, path, line, "%s is out of its bounds; `ellwandd configuration` shows them.",
                         name);
        memcpy(field, &number, sizeof number);
        return true;
    }
    return wrong(fault, path, line, "There is no key %s; `ellwandd configuration` lists them all.", name);
}

static bool check_whole(const struct configuration *configuration, const char *path, struct fault *fault) {
    for (size_t i = 0; i < configuration_key_count; i++)
        if (configuration_keys[i].is_text && configuration_keys[i].text == NULL &&
            ((const char *)configuration)[configuration_keys[i].offset] == '\0')
            return fault_set(fault, "bad-configuration", path, "The key %s must be given.",
                             configuration_keys[i].name);
    if ((configuration->key_file[0] == '\0') == (configuration->plain_key[0] == '\0'))
        return fault_set(fault, "bad-configuration", path,
                         "Give key_file, or plain_key for a trial without keys.");
    return true;
}

/* False as libconfig's own: a file that cannot be opened is CONFIG_ERR_NONE here. */
static bool read_open(config_t *file, const char *path, struct configuration *configuration) {
    FILE *stream = fopen(path, "re");
    struct stat status;
    if (stream == NULL)
        return false;
    bool good = fstat(fileno(stream), &status) == 0 && config_read(file, stream) == CONFIG_TRUE;
    configuration->readable_by_all = good && S_ISREG(status.st_mode) && (status.st_mode & S_IROTH) != 0;
    fclose(stream);
    return good;
}

bool configuration_read(const char *path, struct configuration *configuration, struct fault *fault) {
    struct configuration made;
    memset(&made, 0, sizeof made);
    set_defaults(&made);
    config_t file;
    config_init(&file);
    bool good = read_open(&file, path, &made);
    if (!good && config_error_type(&file) != CONFIG_ERR_PARSE)
        fault_set(fault, "no-file", path, "The configuration file cannot be read.");
    else if (!good)
        wrong(fault, path, config_error_line(&file), "This is not understood: %s.", config_error_text(&file));
    const config_setting_t *root = good ? config_root_setting(&file) : NULL;
    for (int i = 0; good && i < config_setting_length(root); i++)
        good = read_setting(config_setting_get_elem(root, (unsigned)i), path, &made, fault);
    config_destroy(&file);
    if (!good || !check_whole(&made, path, fault))
        return false;
    *configuration = made;
    return true;
}

static void explain_text(FILE *file, const struct configuration_key *key) {
    const char *value = key->example != NULL ? key->example : key->text != NULL ? key->text : "";
    fprintf(file, "%s%s%s = \"%s\";\n", key->text == NULL ? "# Must be given.\n" : "",
            value[0] != '\0' ? "" : "#", key->name, value);
}

void configuration_explain(FILE *file) {
    fprintf(file, "# The configuration of ellwandd: every key there is, with its default where it has one.\n"
                  "# A wrong key, type or value is refused with its line.\n");
    for (size_t i = 0; i < configuration_key_count; i++) {
        const struct configuration_key *key = &configuration_keys[i];
        fprintf(file, "\n# %s\n", key->meaning);
        if (key->is_text)
            explain_text(file, key);
        else
            fprintf(file, "# %d to %d.\n%s = %d;\n", key->least, key->most, key->name, key->number);
    }
}
