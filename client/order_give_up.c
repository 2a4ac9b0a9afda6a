/* SPDX-License-Identifier: Apache-2.0 */
#include "order_give_up.h"

void order_given_back(const struct program *program, const json_t *answer) {
    static const struct column fields[] = {{"order", "order", COLUMN_TEXT},
                                           {"state", "state", COLUMN_TEXT},
                                           {"plans dropped", "plans_dropped", COLUMN_COUNT},
                                           {"pieces recalled", "pieces_recalled", COLUMN_NUMBER},
                                           {"offcuts for the rack", "offcuts", COLUMN_COUNT},
                                           {"reservations given up", "reservations_given_up", COLUMN_NUMBER},
                                           {"other orders helped", "helped", COLUMN_COUNT}};
    static const struct column carry[] = {{"kit", "kit", COLUMN_TEXT},
                                          {"part", "part", COLUMN_TEXT},
                                          {"name", "name", COLUMN_TEXT},
                                          {"quantity", "quantity", COLUMN_NUMBER},
                                          {"back to", "bin", COLUMN_TEXT}};
    const struct screen *screen = &program->screen;
    fields_print(screen, fields, sizeof fields / sizeof fields[0], answer);
    json_t *plan;
    size_t at;
    json_array_foreach(json_object_get(answer, "plans_changed"), at, plan) {
        screen_text(screen, PAINT_YELLOW, "Tell the saw");
        fprintf(screen->file, ": plan %lld has changed; its new sheet is made by: ellwand plan sheet %lld\n",
                (long long)json_integer_value(plan), (long long)json_integer_value(plan));
    }
    if (json_array_size(json_object_get(answer, "put_back")) > 0) {
        screen_heading(screen, "Carry back");
        table_print(screen, carry, sizeof carry / sizeof carry[0], json_object_get(answer, "put_back"), "");
    }
}

int order_give_up(struct program *program, const char *verb) {
    const char *reason = program_option(program, "reason");
    if (reason == NULL)
        return program_wrong(program, EXIT_USAGE, "reason", "Say why, with --reason.");
    json_t *answer = NULL;
    int code = program_call(
        program, verb, json_pack("{s:s, s:s}", "order", program->arguments[0], "reason", reason), &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        order_given_back(program, answer);
    json_decref(answer);
    return code;
}
