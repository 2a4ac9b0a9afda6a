/* Key files. SPDX-License-Identifier: Apache-2.0 */
#include "error.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zmq.h>

static bool name_valid(const char *name, struct ell_error *error) {
    return ell_word_valid(name, strlen(name), ELL_KEY_NAME_MAX) ||
           error_set(error, ELL_MISUSE, "bad-key", name,
                     "A key's name is 1 to %d letters, digits, '.', '_' or '-'.", ELL_KEY_NAME_MAX);
}

bool ell_key_make(const char *name, struct ell_key *key, struct ell_error *error) {
    if (!name_valid(name, error))
        return false;
    struct ell_key made = {0};
    /* People give public halves to commands, where one that begins with '-' would pass for an option. */
    do
        if (zmq_curve_keypair(made.public_half, made.secret) != 0)
            return error_set(error, ELL_BROKEN, "no-curve", "",
                             "This ZeroMQ library was built without CURVE.");
    while (made.public_half[0] == '-');
    memcpy(made.name, name, strlen(name));
    *key = made;
    return true;
}

/* Z85 of 32 bytes: 40 characters that decode. */
static bool z85_valid(const char *text) {
    unsigned char bytes[32];
    return strlen(text) == ELL_CURVE_TEXT - 1 && zmq_z85_decode(bytes, text) != NULL;
}

static bool read_line(struct ell_key *key, char *line) {
    line[strcspn(line, "\r\n")] = '\0';
    if (line[0] == '\0' || line[0] == '#')
        return true;
    char *value = strchr(line, ' ');
    if (value == NULL)
        return false;
    *value++ = '\0';
    if (strcmp(line, "name") == 0 && key->name[0] == '\0' &&
        ell_word_valid(value, strlen(value), ELL_KEY_NAME_MAX))
        memcpy(key->name, value, strlen(value) + 1);
    else if (strcmp(line, "public") == 0 && key->public_half[0] == '\0' && z85_valid(value))
        memcpy(key->public_half, value, ELL_CURVE_TEXT);
    else if (strcmp(line, "secret") == 0 && key->secret[0] == '\0' && z85_valid(value))
        memcpy(key->secret, value, ELL_CURVE_TEXT);
    else
        return false;
    return true;
}

static bool read_lines(FILE *file, const char *path, struct ell_key *key, struct ell_error *error) {
    char line[256], public_key[ELL_CURVE_TEXT];
    for (int number = 1; fgets(line, sizeof line, file) != NULL; number++)
        if (number > 100 || !read_line(key, line))
            return error_set(
                error, ELL_MISUSE, "bad-key", path,
                "Line %d is not \"name NAME\", \"public KEY\" or \"secret KEY\", or comes twice.", number);
    if (ferror(file))
        return error_set(error, ELL_MISUSE, "no-file", path, "The key file cannot be read.");
    if (key->name[0] == '\0' || key->public_half[0] == '\0')
        return error_set(error, ELL_MISUSE, "bad-key", path,
                         "The file needs a line \"name\" and a line \"public\".");
    if (key->secret[0] != '\0' &&
        (zmq_curve_public(public_key, key->secret) != 0 || strcmp(public_key, key->public_half) != 0))
        return error_set(error, ELL_MISUSE, "bad-key", path,
                         "The public key does not belong to the secret key.");
    return true;
}

bool ell_key_read(const char *path, struct ell_key *key, struct ell_error *error) {
    FILE *file = fopen(path, "re");
    struct stat status;
    if (file == NULL)
        return error_set(error, ELL_MISUSE, "no-file", path, "The key file cannot be opened: %s.",
                         strerror(errno));
    struct ell_key read = {0};
    bool good = read_lines(file, path, &read, error);
    if (good && read.secret[0] != '\0' && fstat(fileno(file), &status) == 0 && S_ISREG(status.st_mode) &&
        (status.st_mode & 077) != 0)
        good = error_set(error, ELL_MISUSE, "open-key", path,
                         "Others may read this secret key. Take that away with: chmod 600 %s", path);
    fclose(file);
    if (good)
        *key = read;
    explicit_bzero(&read, sizeof read);
    return good;
}

bool ell_key_write(const char *path, const struct ell_key *key, bool with_secret, struct ell_error *error) {
    if (!name_valid(key->name, error))
        return false;
    int descriptor = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, with_secret ? 0600 : 0644);
    if (descriptor < 0)
        return error_set(error, ELL_MISUSE, "no-file", path, "The key file cannot be made: %s.",
                         strerror(errno));
    FILE *file = fdopen(descriptor, "w");
    bool good = file != NULL;
    if (good) {
        fprintf(file, "# Ellwand key file (%s)\nname %s\npublic %s\n",
                with_secret ? "secret: keep it to yourself" : "public: may be shown to anybody", key->name,
                key->public_half);
        if (with_secret)
            fprintf(file, "secret %s\n", key->secret);
        good = fflush(file) == 0 && fsync(descriptor) == 0;
        good = fclose(file) == 0 && good;
    } else {
        close(descriptor);
    }
    if (!good) {
        unlink(path);
        return error_set(error, ELL_MISUSE, "no-file", path, "The key file cannot be written.");
    }
    return true;
}
