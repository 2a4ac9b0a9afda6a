/* Lets somebody in. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

#include <ellwand/protocol.h>
#include <string.h>

/* Z85, ZeroMQ RFC 32: 40 characters out of 85. */
static bool is_public_key(const char *text) {
    static const char letters[] =
        "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.-:+=^!/*?&<>()[]{}@%$#";
    return strlen(text) == ELL_CURVE_TEXT - 1 && strspn(text, letters) == ELL_CURVE_TEXT - 1;
}

static bool is_role(const json_t *role) {
    static const char *const roles[] = {"desk", "saw", "stores", "manager"};
    for (size_t i = 0; i < sizeof roles / sizeof roles[0]; i++)
        if (json_is_string(role) && strcmp(json_string_value(role), roles[i]) == 0)
            return true;
    return false;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char name[ELL_KEY_NAME_MAX + 1], public_key[80];
    form_open(&form, call->body, "", fault);
    form_text(&form, "name", name, sizeof name);
    if (!form.failed && !ell_word_valid(name, strlen(name), ELL_KEY_NAME_MAX))
        form_wrong(&form, "name", "bad-name", "A key's name is letters, digits, '.', '_' and '-'.");
    if (!form.failed && (strcmp(name, "planner") == 0 || strcmp(name, "printer") == 0))
        form_wrong(&form, "name", "bad-name",
                   "This is what the daemon calls its own threads; choose another name.");
    form_text(&form, "public_key", public_key, sizeof public_key);
    if (!form.failed && !is_public_key(public_key))
        form_wrong(&form, "public_key", "bad-key",
                   "A public key is 40 characters in Z85; `ellwand key new` makes a pair.");
    const json_t *roles = form_array(&form, "roles", 1, 4);
    for (size_t i = 0; i < json_array_size(roles); i++)
        if (!is_role(json_array_get(roles, i)))
            form_wrong(&form, "roles", "unknown-role", "A role is desk, saw, stores or manager.");
    return form_close(&form) ? desk_read(call, &query_key_add, "key", fault) : NULL;
}

const struct desk_verb desk_verb_key_add = {"key.add", ROLE_MANAGER, DESK_CHANGES,
                                            "Lets a client key in, with a name and roles.", run};
