/* manual NAME: writes that file to standard output. A program of the build, not installed.
 * SPDX-License-Identifier: Apache-2.0 */
#include "pages.h"

#include <string.h>

int main(int count, char *words[]) {
    for (const struct made_file *file = made_files; count == 2 && file->name != NULL; file++)
        if (strcmp(file->name, words[1]) == 0) {
            file->write(stdout);
            return fflush(stdout) == 0 && !ferror(stdout) ? 0 : 1;
        }
    fprintf(stderr, "usage: %s NAME; the names are:\n", words[0]);
    for (const struct made_file *file = made_files; file->name != NULL; file++)
        fprintf(stderr, "  %s\n", file->name);
    return 2;
}
