/* SPDX-License-Identifier: Apache-2.0 */
#include "common/log.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static enum log_level most = LOG_LEVEL_NOTICE;

void log_set_level(enum log_level level) {
    most = level;
}

bool log_level_named(const char *name, enum log_level *level) {
    static const char *const names[] = {"error", "notice", "debug"};
    for (int i = 0; i < 3; i++) {
        if (strcmp(name, names[i]) != 0)
            continue;
        *level = (enum log_level)i;
        return true;
    }
    return false;
}

/* The journal reads "<3>"; a person at a terminal or a plain file wants the time. */
static int write_head(char *line, size_t size, enum log_level level) {
    static const int priorities[] = {3, 5, 7};
    static const char *const names[] = {"error", "notice", "debug"};
    if (getenv("JOURNAL_STREAM") != NULL)
        return snprintf(line, size, "<%d>", priorities[level]);
    struct timespec now;
    struct tm utc;
    clock_gettime(CLOCK_REALTIME, &now);
    gmtime_r(&now.tv_sec, &utc);
    return snprintf(line, size, "%04d-%02d-%02dT%02d:%02d:%02d.%03ldZ %s ", utc.tm_year + 1900,
                    utc.tm_mon + 1, utc.tm_mday, utc.tm_hour, utc.tm_min, utc.tm_sec, now.tv_nsec / 1000000,
                    names[level]);
}

void log_line(enum log_level level, const char *format, ...) {
    if (level > most)
        return;
    char line[1200];
    int used = write_head(line, sizeof line, level);
    va_list arguments;
    va_start(arguments, format);
    int more = vsnprintf(line + used, sizeof line - (size_t)used - 1, format, arguments);
    va_end(arguments);
    size_t length = strnlen(line, sizeof line - 2);
    for (size_t i = 0; more > 0 && i < length; i++)
        if ((unsigned char)line[i] < 0x20 || line[i] == 0x7F)
            line[i] = '?';
    line[length] = '\n';
    /* One write a line: lines of several threads do not mix. */
    ssize_t written = write(STDERR_FILENO, line, length + 1);
    (void)written;
}

void log_fault(const char *what, const struct fault *fault) {
    log_line(LOG_LEVEL_ERROR, "%s: %s%s%s (%s)", what, fault->where, fault->where[0] ? ": " : "",
             fault->message, fault->code);
}
