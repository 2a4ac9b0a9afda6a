/* SPDX-License-Identifier: Apache-2.0 */
#include "new_file.h"

#include <errno.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

bool new_file_begin(const char *path, struct new_file *new) {
    struct stat there;
    /* a terminal, a pipe or a device must be written to, not replaced */
    if (stat(path, &there) == 0 && !S_ISREG(there.st_mode)) {
        new->beside[0] = '\0';
        return (new->file = fopen(path, "w")) != NULL;
    }
    /* mkstemp puts six letters of its own in the place of the X */
    if (snprintf(new->beside, sizeof new->beside, "%s.XXXXXX", path) >= (int)sizeof new->beside)
        return errno = ENAMETOOLONG, false;
    int descriptor = mkstemp(new->beside);
    if (descriptor < 0)
        return false;
    new->file = fdopen(descriptor, "w");
    if (new->file != NULL)
        return true;
    int why = errno;
    close(descriptor);
    unlink(new->beside);
    errno = why;
    return false;
}

bool new_file_keep(struct new_file *new, const char *path) {
    bool whole = new->beside[0] != '\0';
    bool good =
        fflush(new->file) == 0 && !ferror(new->file) && (!whole || fchmod(fileno(new->file), 0644) == 0);
    int why = errno;
    if (fclose(new->file) != 0 && good) {
        why = errno;
        good = false;
    }
    if (good && (!whole || rename(new->beside, path) == 0))
        return true;
    if (good)
        why = errno;
    if (whole)
        unlink(new->beside);
    errno = why;
    return false;
}
