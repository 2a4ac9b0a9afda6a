/* SPDX-License-Identifier: Apache-2.0 */
#include "count_view.h"
#include "plan_view.h"
#include "stores_view.h"

static void show_codes(const struct program *program, const json_t *rack, const char *field,
                       const char *title) {
    const json_t *codes = json_object_get(rack, field);
    size_t index;
    json_t *code;
    if (json_array_size(codes) == 0)
        return;
    fprintf(program->screen.file, "%s:", title);
    json_array_foreach((json_t *)codes, index, code) {
        const char *text = json_string_value(json_is_object(code) ? json_object_get(code, "code") : code);
        putc(' ', program->screen.file);
        screen_text(&program->screen, PAINT_BOLD, text == NULL ? "" : text);
    }
    putc('\n', program->screen.file);
}

static void show(const struct program *program, const json_t *answer) {
    const json_t *rack = json_object_get(answer, "rack");
    stock_view(program, answer);
    show_codes(program, rack, "written_off", "Written off the rack");
    show_codes(program, rack, "moved", "Moved to where it lay");
    show_codes(program, rack, "back", "Back on the rack");
    show_codes(program, rack, "made", "New on the rack");
    labels_view(&program->screen, answer);
}

static int run(struct program *program) {
    json_t *takes = count_numbers(program, 0), *answer = NULL;
    if (takes == NULL)
        return EXIT_USAGE;
    int code = program_call(
        program, "count.approve",
        json_pack("{s:o, s:s*}", "stock_takes", takes, "reason", program_option(program, "reason")), &answer);
    if (code == EXIT_DONE && !program_json(program, answer))
        show(program, answer);
    json_decref(answer);
    return code;
}

static const struct command_option options[] = {{"reason", "TEXT", "Why it differs, for the ledger"}, {0}};

const struct command command_count_approve = {
    .name = "count approve",
    .group = GROUP_MANAGER,
    .arguments = "STOCK-TAKE...",
    .least = 1,
    .most = 200,
    .summary = "Take what others counted into the books",
    .more = "Look at it first with `ellwand count show`. The differences are added to whatever is there now. "
            "Nobody approves "
            "what he counted himself.",
    .options = options,
    .run = run,
};
