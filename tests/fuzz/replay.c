/* SPDX-License-Identifier: Apache-2.0 */
/* Feeds every file of a folder to a fuzzer: inputs once found to matter stay tested where there is no
 * libFuzzer. */
#include "fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>

enum { LARGEST_INPUT = 1 << 20 };

static void replay_file(const char *folder, const char *name, uint8_t *input) {
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "rb");
    if (!file) {
        perror(path);
        exit(1);
    }
    size_t size = fread(input, 1, LARGEST_INPUT, file);
    fclose(file);
    /* An allocation of exactly this size lets the sanitizer see a read past its end. */
    uint8_t *exact = malloc(size ? size : 1);
    if (!exact)
        abort();
    for (size_t byte = 0; byte < size; byte++)
        exact[byte] = input[byte];
    LLVMFuzzerTestOneInput(exact, size);
    free(exact);
}

int main(int argc, char **argv) {
    if (argc != 2) {
        fprintf(stderr, "usage: %s FOLDER\n", argv[0]);
        return 2;
    }
    DIR *folder = opendir(argv[1]);
    uint8_t *input = malloc(LARGEST_INPUT);
    if (!folder || !input) {
        perror(argv[1]);
        return 1;
    }
    int replayed = 0;
    for (struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
        if (entry->d_name[0] == '.')
            continue;
        replay_file(argv[1], entry->d_name, input);
        replayed++;
    }
    closedir(folder);
    free(input);
    printf("replayed %d inputs\n", replayed);
    return replayed > 0 ? 0 : 1;
}
