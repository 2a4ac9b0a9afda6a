/* SPDX-License-Identifier: Apache-2.0 */
#include "command.h"

#include "common/document.h"

#include <string.h>

/* False after saying what is wrong. */
static bool add_settings(struct program *program, json_t *body) {
    ell_length usable;
    int64_t percent, places;
    const char *rack = program_option(program, "rack-places");
    bool any = rack != NULL && strcmp(rack, "any") == 0;
    if (!program_length(program, "usable-remainder", 1, ELL_LENGTH_MAX, 0, &usable) ||
        !program_number(program, "value-percent", 0, 100, 0, &percent) ||
        (!any && !program_number(program, "rack-places", 0, 1000000, 0, &places)))
        return false;
    if (program_option(program, "usable-remainder") != NULL)
        json_object_set_new(body, "usable_remainder", document_length(usable));
    if (program_option(program, "value-percent") != NULL)
        json_object_set_new(body, "value_percent", json_integer(percent));
    if (rack != NULL)
        json_object_set_new(body, "rack_places", any ? json_null() : json_integer(places));
    return true;
}

static int run(struct program *program) {
    static const struct column fields[] = {{"workshop", "workshop", COLUMN_TEXT},
                                           {"usable remainder", "usable_remainder", COLUMN_LENGTH},
                                           {"worth of new, %", "value_percent", COLUMN_NUMBER},
                                           {"places on the rack", "rack_places", COLUMN_NUMBER}};
    json_t *body = json_object();
    if (!add_settings(program, body)) {
        json_decref(body);
        return EXIT_USAGE;
    }
    return program_show(program, "workshop.set", body, fields, sizeof fields / sizeof fields[0]);
}

static const struct command_option options[] = {
    {"usable-remainder", "LENGTH", "The least length that goes back to the rack"},
    {"value-percent", "NUMBER", "What an offcut is worth, in percent of the same length new"},
    {"rack-places", "NUMBER", "How many offcuts the rack holds; \"any\": no limit"},
    {0}};

const struct command command_workshop_set = {
    .name = "workshop set",
    .group = GROUP_SETUP,
    .summary = "Change what goes back to the rack, what it is worth, or how much the rack holds",
    .options = options,
    .run = run,
};
