/* SPDX-License-Identifier: Apache-2.0 */
#include "file_text.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

char *file_text(const struct program *program, const char *path, size_t most, size_t *count) {
    bool standard = strcmp(path, "-") == 0;
    FILE *file = standard ? stdin : fopen(path, "rb");
    if (file == NULL) {
        program_wrong(program, EXIT_USAGE, path, "The file cannot be opened: %s.", strerror(errno));
        return NULL;
    }
    char *bytes = malloc(most + 1);
    *count = bytes != NULL ? fread(bytes, 1, most + 1, file) : 0;
    bool good = bytes != NULL && !ferror(file);
    if (!good)
        program_wrong(program, EXIT_TROUBLE, path, "The file cannot be read to its end.");
    else if (*count > most)
        good = program_wrong(program, EXIT_USAGE, path, "The file has more than %zu bytes. Split it.",
                             most) == EXIT_DONE;
    if (!standard)
        fclose(file);
    if (good)
        return bytes;
    free(bytes);
    return NULL;
}

bool file_is_csv(const char *path) {
    size_t length = strlen(path);
    return length > 4 && strcasecmp(path + length - 4, ".csv") == 0;
}
