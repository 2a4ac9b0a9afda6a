/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/keys.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

static struct known_keys known;

static void remember(int number) {
    char key[KEY_TEXT], name[KEY_NAME];
    snprintf(key, sizeof key, "key-%d", number);
    snprintf(name, sizeof name, "name-%d", number);
    keys_remember(&known, key, name);
}

static bool recalls(int number) {
    char key[KEY_TEXT], name[KEY_NAME] = "", wanted[KEY_NAME];
    snprintf(key, sizeof key, "key-%d", number);
    snprintf(wanted, sizeof wanted, "name-%d", number);
    bool found = keys_recall(&known, key, name);
    cr_assert(!found || strcmp(name, wanted) == 0, "%s has the name %s", key, name);
    return found;
}

Test(keys, the_oldest_makes_room) {
    for (int i = 0; i < KEYS_MOST; i++)
        remember(i);
    cr_assert(recalls(0) && recalls(KEYS_MOST - 1));
    remember(KEYS_MOST);
    cr_assert(!recalls(0) && recalls(1) && recalls(KEYS_MOST));
    remember(KEYS_MOST);
    cr_assert(recalls(1), "a key that is known already needs no room");
}

Test(keys, what_was_refused_is_forgotten) {
    remember(1);
    remember(2);
    keys_forget(&known, "key-1");
    keys_forget(&known, "key-9");
    cr_assert(!recalls(1) && recalls(2));
    keys_remember(&known, "key-2", "other");
    char name[KEY_NAME];
    cr_assert(keys_recall(&known, "key-2", name));
    cr_assert_str_eq(name, "other");
}
