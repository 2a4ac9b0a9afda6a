/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/subject.h"

static bool read_code(const char *text, unsigned kinds, int64_t *id, struct fault *fault) {
    struct code code;
    if (!code_read(text, &code, fault))
        return false;
    if ((kinds & SUBJECT(code.kind)) == 0)
        return fault_set(fault, "wrong-code", "", "%s is the code of a %s; scan another label.", text,
                         code_kind_name(code.kind));
    *id = code.id;
    return true;
}

static bool read_value(const json_t *value, unsigned kinds, int64_t *id, struct fault *fault) {
    if (json_is_string(value))
        return read_code(json_string_value(value), kinds, id, fault);
    if (!json_is_integer(value) || json_integer_value(value) < 1)
        return fault_set(fault, "wrong-type", "",
                         "Give the number (1 or more), or the code off the label as text.");
    *id = json_integer_value(value);
    return true;
}

int64_t subject_read_or_none(struct form *form, const char *name, unsigned kinds) {
    int64_t id = 0;
    struct fault fault;
    if (form_has(form, name) && !read_value(json_object_get(form->object, name), kinds, &id, &fault))
        form_wrong(form, name, fault.code, "%s", fault.message);
    return id;
}

int64_t subject_read(struct form *form, const char *name, unsigned kinds) {
    if (!form_has(form, name))
        form_wrong(form, name, "missing-field", "The field is missing; it must be given.");
    return subject_read_or_none(form, name, kinds);
}

json_t *subject_read_list(struct form *form, const char *name, unsigned kinds, size_t most,
                          struct fault *fault) {
    const json_t *given = form_array(form, name, 0, most);
    json_t *list = json_array();
    for (size_t i = 0; list != NULL && i < json_array_size(given); i++) {
        int64_t id;
        struct fault inner;
        char path[128];
        if (!read_value(json_array_get(given, i), kinds, &id, &inner)) {
            fault_set(fault, inner.code, form_below(form, name, (long)i, path), "%s", inner.message);
            json_decref(list);
            return NULL;
        }
        json_array_append_new(list, json_integer(id));
    }
    if (list == NULL)
        fault_memory(fault);
    return list;
}
