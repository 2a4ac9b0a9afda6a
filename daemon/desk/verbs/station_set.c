/* Where labels are printed. SPDX-License-Identifier: Apache-2.0 */
#include "desk/verb.h"

#include <string.h>

/* The name goes into paths and print jobs' names. */
static bool is_station_name(const char *name) {
    static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789-";
    return name[0] >= 'a' && name[0] <= 'z' && strlen(name) <= 40 && strspn(name, letters) == strlen(name);
}

static bool is_label_kind(const json_t *kind) {
    static const char *const kinds[] = {"piece", "kit", "offcut", "bar", "bin", "parcel", "cut-sheet"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
        if (json_is_string(kind) && strcmp(json_string_value(kind), kinds[i]) == 0)
            return true;
    return false;
}

static void check_target(struct form *form) {
    char queue[128], folder[512];
    form_text_or(form, "queue", queue, sizeof queue, "");
    form_text_or(form, "folder", folder, sizeof folder, "");
    if (form->failed)
        return;
    if ((queue[0] == '\0') == (folder[0] == '\0'))
        form_wrong(form, "queue", "one-of-two", "Name either a CUPS queue or a folder for PDF files.");
    else if (folder[0] != '\0' && (folder[0] != '/' || strstr(folder, "/..") != NULL))
        form_wrong(form, "folder", "bad-folder", "Give the folder's whole path, from / on, without \"..\".");
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct form form;
    char name[64], stock[64];
    form_open(&form, call->body, "", fault);
    form_text(&form, "station", name, sizeof name);
    if (!form.failed && !is_station_name(name))
        form_wrong(&form, "station", "bad-name",
                   "A station's name is a small letter, then small letters, digits and '-'.");
    check_target(&form);
    form_text(&form, "stock", stock, sizeof stock);
    const json_t *kinds = form_array(&form, "kinds", 0, 7);
    for (size_t i = 0; i < json_array_size(kinds); i++)
        if (!is_label_kind(json_array_get(kinds, i)))
            form_wrong(&form, "kinds", "unknown-kind",
                       "A station prints piece, kit, offcut, bar, bin, parcel or cut-sheet.");
    form_integer_or(&form, "job_labels", 1, 1000, 200);
    form_boolean_or(&form, "part_sheets", false);
    if (!form_close(&form))
        return NULL;
    call->wakes_printers = true;
    return desk_read(call, &query_station_set, "station", fault);
}

const struct desk_verb desk_verb_station_set = {"station.set", ROLE_MANAGER, DESK_CHANGES,
                                                "Makes or changes a station: its CUPS queue or folder, its "
                                                "label stock, and which kinds of labels it prints.",
                                                run};
