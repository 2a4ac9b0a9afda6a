/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/keys.h"

#include "common/text.h"

#include <string.h>

static struct known_key *find(struct known_keys *known, const char *public_key) {
    for (size_t i = 0; i < known->count; i++)
        if (strcmp(known->keys[i].public_key, public_key) == 0)
            return &known->keys[i];
    return NULL;
}

void keys_remember(struct known_keys *known, const char *public_key, const char *name) {
    struct known_key *key = find(known, public_key);
    if (key == NULL && known->count < KEYS_MOST) {
        key = &known->keys[known->count++];
    } else if (key == NULL) {
        key = &known->keys[known->next];
        known->next = (known->next + 1) % KEYS_MOST;
    }
    text_copy(key->public_key, sizeof key->public_key, public_key);
    text_copy(key->name, sizeof key->name, name);
}

void keys_forget(struct known_keys *known, const char *public_key) {
    struct known_key *key = find(known, public_key);
    if (key != NULL)
        *key = known->keys[--known->count];
}

bool keys_recall(const struct known_keys *known, const char *public_key, char name[KEY_NAME]) {
    const struct known_key *key = find((struct known_keys *)known, public_key);
    if (key != NULL)
        text_copy(name, KEY_NAME, key->name);
    return key != NULL;
}
