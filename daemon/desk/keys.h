/* The keys that were let in lately, so that their owners are told why nothing goes while the database is away. It lets
 * nobody do anything: every verb asks the database for the key's roles. For one thread.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_DESK_KEYS_H
#define ELLWAND_DESK_KEYS_H

#include <stdbool.h>
#include <stddef.h>

enum { KEYS_MOST = 256, KEY_TEXT = 41, KEY_NAME = 64 };

struct known_keys {
    struct known_key {
        char public_key[KEY_TEXT], name[KEY_NAME];
    } keys[KEYS_MOST];
    size_t count, next; /* when full, the oldest makes room */
};

/* `public_key` has at most 40 characters. */
void keys_remember(struct known_keys *known, const char *public_key, const char *name);
void keys_forget(struct known_keys *known, const char *public_key);
/* Fills the name that the key had when it was let in; false when it is not remembered. */
bool keys_recall(const struct known_keys *known, const char *public_key, char name[KEY_NAME]);

#endif
