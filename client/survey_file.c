/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_file.h"

#include "new_file.h"

#include "common/document.h"
#include "takeoff/order_file.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { PATH_LONGEST = 4096 };

/* The readers know the place in the file, not the file. */
static bool in_file(const char *path, struct fault *fault) {
    struct fault inner = *fault;
    bool other = inner.where[0] != '\0' && strcmp(inner.where, path) != 0;
    char where[sizeof fault->where];
    snprintf(where, sizeof where, "%.60s%s%.90s", path, other ? ", " : "", other ? inner.where : "");
    return fault_set(fault, inner.code, where, "%s", inner.message);
}

static bool read_any(const char *path, json_t **document, struct fault *fault) {
    *document = NULL;
    if (access(path, F_OK) != 0 && errno == ENOENT)
        return true;
    *document = document_read_file(path, &document_small, fault);
    return *document != NULL || in_file(path, fault);
}

bool survey_file_read(const char *path, json_t **order, struct fault *fault) {
    json_t *document;
    if (!read_any(path, &document, fault))
        return false;
    struct order_file *read = document != NULL ? order_file_read(document, fault) : NULL;
    bool good = document == NULL || read != NULL;
    order_file_free(read);
    if (good) {
        *order = document;
        return true;
    }
    json_decref(document);
    return in_file(path, fault);
}

static bool write_any(const char *path, const json_t *document, struct fault *fault) {
    struct new_file new;
    if (!new_file_begin(path, &new))
        return fault_set(fault, "no-file", path, "This file cannot be written: %s.", strerror(errno));
    json_dumpf(document, new.file, JSON_INDENT(1) | JSON_REAL_PRECISION(15));
    putc('\n', new.file);
    return new_file_keep(&new, path) ||
           fault_set(fault, "no-file", path, "This file cannot be written: %s.", strerror(errno));
}

bool survey_file_write(const char *path, const json_t *order, struct fault *fault) {
    return write_any(path, order, fault);
}

static const char *begun_name(const char *path, char name[PATH_LONGEST]) {
    snprintf(name, PATH_LONGEST, "%s.begun", path);
    return name;
}

bool survey_file_begun(const char *path, json_t **begun, struct fault *fault) {
    char name[PATH_LONGEST];
    return read_any(begun_name(path, name), begun, fault);
}

bool survey_file_keep_begun(const char *path, const json_t *begun, struct fault *fault) {
    char name[PATH_LONGEST];
    return write_any(begun_name(path, name), begun, fault);
}

void survey_file_forget_begun(const char *path) {
    char name[PATH_LONGEST];
    unlink(begun_name(path, name));
}
