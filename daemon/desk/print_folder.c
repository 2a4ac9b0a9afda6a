/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_folder.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static bool write_all(int file, const unsigned char *bytes, size_t count) {
    while (count > 0) {
        ssize_t written = write(file, bytes, count);
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return false;
        bytes += written;
        count -= (size_t)written;
    }
    return fsync(file) == 0;
}

/* Under a name that no reader takes for a label, then renamed. */
static bool write_within(int folder, const char *name, const unsigned char *bytes, size_t count) {
    char hidden[256], shown[256];
    snprintf(hidden, sizeof hidden, ".%.200s.part", name);
    snprintf(shown, sizeof shown, "%.200s.pdf", name);
    /* A link that somebody left under that name must not lead elsewhere. */
    unlinkat(folder, hidden, 0);
    int file = openat(folder, hidden, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0644);
    if (file < 0)
        return false;
    bool good = write_all(file, bytes, count);
    good = close(file) == 0 && good;
    good = good && renameat(folder, hidden, folder, shown) == 0;
    int why = errno;
    if (!good)
        unlinkat(folder, hidden, 0);
    errno = why;
    return good && fsync(folder) == 0;
}

bool print_folder_write(const char *folder, const char *name, const unsigned char *bytes, size_t count,
                        struct fault *fault) {
    char why[128];
    int opened = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (opened < 0)
        return fault_set(fault, "no-folder", folder, "The folder %s cannot be opened: %s.", folder,
                         strerror_r(errno, why, sizeof why));
    bool good = write_within(opened, name, bytes, count);
    if (!good)
        fault_set(fault, "cannot-write", folder, "A label file cannot be written to %s: %s.", folder,
                  strerror_r(errno, why, sizeof why));
    close(opened);
    return good;
}

bool print_folder_has(const char *folder, const char *name) {
    char path[1024];
    int length = snprintf(path, sizeof path, "%s/%.200s.pdf", folder, name);
    return length > 0 && (size_t)length < sizeof path && access(path, F_OK) == 0;
}
