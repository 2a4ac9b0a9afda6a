/* A file appears whole or not at all. SPDX-License-Identifier: Apache-2.0 */
#include "new_file.h"

#include <criterion/criterion.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/enf.XXXXXX", path[64];

static void make_folder(void) {
    cr_assert_not_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/out", folder);
}

static void remove_folder(void) {
    unlink(path);
    cr_assert_eq(rmdir(folder), 0, "something else is left there");
}

static const char *content(void) {
    static char text[32];
    FILE *file = fopen(path, "r");
    cr_assert_not_null(file);
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    fclose(file);
    return text;
}

TestSuite(new_file, .init = make_folder, .fini = remove_folder);

Test(new_file, old_one_stays_until_it_is_kept) {
    struct new_file new;
    for (int i = 0; i < 2; i++) {
        cr_assert(new_file_begin(path, &new));
        fprintf(new.file, "round %d", i);
        cr_assert(i == 0 ? access(path, F_OK) != 0 : strcmp(content(), "round 0") == 0);
        cr_assert(new_file_keep(&new, path));
    }
    struct stat there;
    cr_assert_str_eq(content(), "round 1");
    cr_assert_eq(stat(path, &there), 0);
    cr_assert_eq(there.st_mode & 0777, 0644);
}

Test(new_file, what_cannot_be_named_so_leaves_nothing) {
    struct new_file new;
    cr_assert(new_file_begin(path, &new));
    fputs("lost", new.file);
    cr_assert_not(new_file_keep(&new, "/no-such-folder/out"));
    cr_assert_eq(errno, ENOENT);
    cr_assert_neq(access(path, F_OK), 0);
}

Test(new_file, what_cannot_be_opened_says_why) {
    struct new_file new;
    char longest[5000];
    memset(longest, 'a', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    cr_assert_not(new_file_begin(longest, &new));
    cr_assert_eq(errno, ENAMETOOLONG);
    cr_assert_not(new_file_begin("/no-such-folder/out", &new));
    cr_assert_eq(errno, ENOENT);
}

/* /dev/full takes nothing: a real device that is written to, and never replaced by a file. */
Test(new_file, device_is_written_to_and_stays) {
    struct new_file new;
    struct stat there;
    cr_assert(new_file_begin("/dev/full", &new));
    fputs("no room", new.file);
    cr_assert_not(new_file_keep(&new, "/dev/full"));
    cr_assert_eq(errno, ENOSPC);
    cr_assert_eq(stat("/dev/full", &there), 0);
    cr_assert(S_ISCHR(there.st_mode));
}
