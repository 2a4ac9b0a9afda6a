/* What may stand in for a part that is short. A substitute takes the part's place in the kit one for one, so it must be of
 * the same role and unit, carry at least as much, and need the same parts with it. Where a
 * role keeps people safe in a way that no number here compares - a tension pulley and its screws; screws and plugs, whose
 * load and drill stand with the fixing - nothing stands in unless the catalogue says "safety": true of that very
 * substitute: somebody has the maker's word that the two are equal. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/catalogue_rows.h"

#include <stdlib.h>

enum { SUBSTITUTES = 8, UNSEEN = 0, OPEN = 1, DONE = 2 };

static bool safety_role(enum part_role role) {
    return role == ROLE_TENSION_PULLEY || role == ROLE_TENSION_PULLEY_SCREW || role == ROLE_SCREW ||
           role == ROLE_PLUG;
}

static bool needs_alike(const struct part *a, const struct part *b) {
    for (size_t i = 0; i < a->need_count; i++) {
        bool found = false;
        for (size_t j = 0; j < b->need_count; j++)
            found = found ||
                    (a->needs[i].part == b->needs[j].part && a->needs[i].quantity == b->needs[j].quantity);
        if (!found)
            return false;
    }
    return a->need_count == b->need_count;
}

static void check_pair(struct form *form, const struct part *part, const struct part *substitute,
                       bool safety) {
    if (substitute->role != part->role || substitute->unit != part->unit)
        form_wrong(form, "part", "wrong-substitute",
                   "\"%s\" has another role or unit than \"%s\", so it cannot take its place.",
                   substitute->code, part->code);
    if (substitute->rating < part->rating)
        form_wrong(form, "part", "wrong-substitute",
                   "\"%s\" may carry %g N and \"%s\" %g N; a substitute must carry at least as much.",
                   substitute->code, substitute->rating, part->code, part->rating);
    if (!needs_alike(part, substitute) || !needs_alike(substitute, part))
        form_wrong(form, "part", "wrong-substitute",
                   "\"%s\" needs other parts with it than \"%s\"; the kit would lack them.", substitute->code,
                   part->code);
    if (safety_role(part->role) && !safety)
        form_wrong(
            form, "safety", "wrong-substitute",
            "\"%s\" is a %s, on which people's safety hangs. Nothing stands in for it unless \"safety\" "
            "is true here: only where the maker says that \"%s\" is its equal.",
            part->code, role_words[part->role], substitute->code);
}

static bool substitute_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                            const struct part *part, struct part_substitute *substitute,
                            struct fault *fault) {
    struct form form;
    form_open(&form, json, path, fault);
    substitute->part = rows_reference(&form, "part", catalogue->parts, catalogue->part_count,
                                      sizeof *catalogue->parts, "unknown-part");
    substitute->safety = form_boolean_or(&form, "safety", false);
    condition_read(&form, catalogue, &substitute->when);
    for (const struct part_substitute *other = part->substitutes; other < substitute; other++)
        if (!form.failed && other->part == substitute->part)
            form_wrong(&form, "part", "twice-named", "\"%s\" is in this list already; take one out.",
                       catalogue->parts[substitute->part].code);
    if (!form.failed && &catalogue->parts[substitute->part] != part)
        check_pair(&form, part, &catalogue->parts[substitute->part], substitute->safety);
    return form_close(&form);
}

static bool list_read(const json_t *json, const char *path, const struct catalogue *catalogue,
                      struct part *part, struct fault *fault) {
    struct form form;
    const json_t *array;
    size_t count;
    form_open(&form, json, path, fault);
    part->substitutes =
        rows_open(&form, "substitutes", 0, SUBSTITUTES, sizeof *part->substitutes, &array, &count);
    part->substitute_count = count;
    for (size_t i = 0; i < count && !form.failed; i++) {
        char below[128];
        form_below(&form, "substitutes", (long)i, below);
        form.failed =
            !substitute_read(json_array_get(array, i), below, catalogue, part, &part->substitutes[i], fault);
    }
    return !form.failed;
}

static bool visit(const struct catalogue *catalogue, size_t index, char *seen, struct fault *fault) {
    const struct part *part = &catalogue->parts[index];
    struct form whole = {.path = "", .fault = fault};
    char where[128], below[140];
    if (seen[index] == DONE)
        return true;
    form_below(&whole, "parts", (long)index, where);
    snprintf(below, sizeof below, "%s.substitutes", where);
    if (seen[index] == OPEN)
        return fault_set(fault, "circular-part", below,
                         "Part \"%s\" stands in for itself, directly or through others; say which of them is "
                         "the first choice.",
                         part->code);
    seen[index] = OPEN;
    for (size_t i = 0; i < part->substitute_count; i++)
        if (!visit(catalogue, part->substitutes[i].part, seen, fault))
            return false;
    seen[index] = DONE;
    return true;
}

static bool check_circles(const struct catalogue *catalogue, struct fault *fault) {
    char *seen = calloc(catalogue->part_count + 1, 1);
    if (seen == NULL)
        return fault_memory(fault);
    bool good = true;
    for (size_t i = 0; i < catalogue->part_count && good; i++)
        good = visit(catalogue, i, seen, fault);
    free(seen);
    return good;
}

bool substitutes_read(const json_t *parts, struct catalogue *catalogue, struct fault *fault) {
    struct form whole = {.path = "", .fault = fault};
    for (size_t i = 0; i < catalogue->part_count; i++) {
        char path[128];
        if (!list_read(json_array_get(parts, i), form_below(&whole, "parts", (long)i, path), catalogue,
                       &catalogue->parts[i], fault))
            return false;
    }
    return check_circles(catalogue, fault);
}
