/* The middle of the session: lines go to whom they concern. SPDX-License-Identifier: Apache-2.0 */
#include "bench/inner.h"

#include "common/text.h"
#include "label/units.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

const char *bench_text(const json_t *object, const char *field) {
    const char *text = json_string_value(json_object_get(object, field));
    return text != NULL ? text : "";
}

const json_t *bench_find(const json_t *list, const char *field, const char *text) {
    for (size_t i = 0; i < json_array_size(list); i++)
        if (strcmp(bench_text(json_array_get(list, i), field), text) == 0)
            return json_array_get(list, i);
    return NULL;
}

void bench_print(char *text, size_t size, const char *format, ...) {
    char whole[2 * BENCH_TEXT];
    va_list arguments;
    va_start(arguments, format);
    /* NOLINTNEXTLINE(clang-analyzer-valist.Uninitialized): va_start is the line above. */
    vsnprintf(whole, sizeof whole, format, arguments);
    va_end(arguments);
    text_copy(text, size, whole);
}

void bench_length_text(const struct bench *bench, double mm, char text[BENCH_NAME]) {
    enum label_unit unit = strcmp(bench->unit, "in") == 0   ? UNIT_INCH
                           : strcmp(bench->unit, "cm") == 0 ? UNIT_CM
                                                            : UNIT_MM;
    ell_length length = 0;
    char words[UNIT_TEXT];
    if (ell_length_from_mm(mm, &length))
        bench_print(text, BENCH_NAME, "%s", unit_text(length, unit, words));
    else
        bench_print(text, BENCH_NAME, "%.6g mm", mm);
}

void bench_quantity(const struct bench *bench, const json_t *row, const json_t *quantity,
                    char text[BENCH_NAME]) {
    double number = json_number_value(quantity);
    if (strcmp(bench_text(row, "unit"), "length") == 0)
        bench_length_text(bench, number, text);
    else
        bench_print(text, BENCH_NAME, "%.10g", number);
}

void bench_say(struct bench *bench, enum bench_outcome outcome, const char *format, ...) {
    char whole[2 * BENCH_TEXT];
    va_list arguments;
    va_start(arguments, format);
    /* NOLINTNEXTLINE(clang-analyzer-valist.Uninitialized): va_start is the line above. */
    vsnprintf(whole, sizeof whole, format, arguments);
    va_end(arguments);
    bench->outcome = outcome;
    text_copy(bench->said, sizeof bench->said, whole);
}

void bench_ask(struct bench *bench, const char *verb, json_t *body,
               void (*then)(struct bench *bench, const json_t *answer)) {
    json_decref(bench->body);
    bench->verb = verb;
    bench->body = body;
    bench->then = then;
}

void bench_open(struct bench *bench, const char *unit) {
    *bench = (struct bench){.unit = unit, .kits = json_array()};
}

static void drop_action(struct bench_action *action) {
    json_decref(action->quantity);
    *action = (struct bench_action){.quantity = NULL};
}

void bench_close(struct bench *bench) {
    for (int i = 0; i < bench->action_count; i++)
        drop_action(&bench->actions[i]);
    json_decref(bench->shown);
    json_decref(bench->kits);
    json_decref(bench->body);
    json_decref(bench->sent);
    json_decref(bench->packing);
    *bench = (struct bench){.unit = bench->unit};
}

void bench_forget_question(struct bench *bench) {
    bench->question = ASK_NOTHING;
    bench->number[0] = '\0';
    bench->subject[0] = '\0';
}

void bench_lay_aside(struct bench *bench) {
    bench_forget_question(bench);
    json_decref(bench->shown);
    bench->shown = NULL;
    json_array_clear(bench->kits);
    bench->hand = HAND_EMPTY;
    bench->spoiled_count = 0;
    bench->bin[0] = bench->part[0] = bench->bar[0] = bench->order[0] = bench->place[0] = bench->hint[0] =
        '\0';
}

void bench_did(struct bench *bench, enum bench_deed deed, const char *kit, const char *subject,
               const char *what, const json_t *quantity) {
    if (bench->action_count == BENCH_ACTIONS) {
        drop_action(&bench->actions[0]);
        memmove(&bench->actions[0], &bench->actions[1], sizeof bench->actions - sizeof bench->actions[0]);
        bench->action_count--;
    }
    struct bench_action *action = &bench->actions[bench->action_count++];
    *action =
        (struct bench_action){.deed = deed, .quantity = quantity != NULL ? json_deep_copy(quantity) : NULL};
    text_copy(action->kit, sizeof action->kit, kit);
    text_copy(action->subject, sizeof action->subject, subject);
    text_copy(action->what, sizeof action->what, what);
}

/* --- Words --- */

static void undo(struct bench *bench) {
    if (bench->question != ASK_NOTHING || bench->number[0] != '\0') {
        bench_forget_question(bench);
        bench_say(bench, BENCH_TOLD, "Left off. Nothing was booked.");
    } else if (bench->hand == HAND_BAR && bench->spoiled_count > 0) {
        bench->spoiled_count--;
        bench_say(bench, BENCH_TOLD, "%s counts as good again.", bench->spoiled[bench->spoiled_count]);
    } else {
        kits_undo(bench);
    }
}

static void done(struct bench *bench) {
    switch (bench->question) {
    case ASK_FOUND:
        kits_found(bench);
        return;
    case ASK_WRITE_OFF:
        rack_gone(bench);
        return;
    case ASK_RECUT:
        saw_recut(bench);
        return;
    case ASK_MEASURE:
        saw_measured(bench);
        return;
    case ASK_SPOILED:
        bench_say(bench, BENCH_REFUSED, "Scan the spoiled piece first.");
        return;
    case ASK_NOTHING:
        break;
    }
    if (bench->hand == HAND_KITS)
        kits_pack(bench);
    else if (bench->hand == HAND_BAR && bench->number[0] != '\0')
        saw_measured(bench);
    else if (bench->hand == HAND_BAR)
        saw_cut(bench);
    else
        bench_say(bench, BENCH_REFUSED, "There is nothing in hand that could be done.");
}

static void stop(struct bench *bench) {
    bool held = bench->hand != HAND_EMPTY || bench->question != ASK_NOTHING;
    bench_lay_aside(bench);
    bench_say(bench, BENCH_TOLD,
              held ? "Laid aside. What was booked stays; nothing else was." : "Nothing is in hand.");
}

static void help(struct bench *bench) {
    bench_say(bench, BENCH_TOLD,
              "Kit: picks it. Then bin, kit; piece. Bar: cuts it. Parcel: sends it. Anything else: says what "
              "it is. "
              "Words, typed or scanned: DONE UNDO SHORT SPOILED LOST DAMAGED STOP MORE HELP; typed only: "
              "PLACE ..., "
              "WRITE-OFF ..., END.");
}

static void spoiled(struct bench *bench) {
    bench_forget_question(bench);
    bench->question = ASK_SPOILED;
    bench_say(bench, BENCH_TOLD, "A piece was mis-cut.");
}

static void set_place(struct bench *bench, const char *place) {
    if (bench->hand != HAND_BAR || place[0] == '\0') {
        bench_say(bench, BENCH_REFUSED,
                  "Scan the bar first, then type where its remainder goes: place rack 5-1");
        return;
    }
    text_copy(bench->place, sizeof bench->place, place);
    bench_say(bench, BENCH_TOLD, "What is left goes to %s.", bench->place);
}

static void take_word(struct bench *bench, const struct input *input) {
    switch (input->word) {
    case WORD_DONE:
        done(bench);
        break;
    case WORD_UNDO:
        undo(bench);
        break;
    case WORD_SHORT:
        kits_short(bench);
        break;
    case WORD_STOP:
        stop(bench);
        break;
    case WORD_MORE:
        bench->whole_list = true;
        bench_say(bench, BENCH_TOLD, "All of it:");
        break;
    case WORD_SPOILED:
        spoiled(bench);
        break;
    case WORD_LOST:
    case WORD_DAMAGED:
        rack_write_off(bench, input->word == WORD_LOST ? "lost" : "damaged");
        break;
    case WORD_WRITE_OFF:
        rack_write_off(bench, input->rest);
        break;
    case WORD_PLACE:
        set_place(bench, input->rest);
        break;
    case WORD_END:
        bench_say(bench, BENCH_TOLD, "The session ends.");
        bench->ended = true;
        break;
    case WORD_HELP:
    case WORD_NONE:
        help(bench);
        break;
    }
}

/* --- Numbers --- */

static void use_number(struct bench *bench) {
    long long count;
    ell_length length;
    if (!input_count(bench->number, &count) && !input_length(bench->number, bench->unit, &length)) {
        bench_say(bench, BENCH_REFUSED, "%s is no number for here; was another barcode scanned?",
                  bench->number);
        bench->number[0] = '\0';
    } else if (bench->question == ASK_FOUND) {
        kits_found(bench);
    } else if (bench->hand == HAND_BAR) {
        saw_measured(bench);
    } else if (bench->hand == HAND_KITS) {
        bench_say(bench, BENCH_TOLD, "%s, instead of what the walk says.", bench->number);
    } else {
        bench_say(bench, BENCH_REFUSED, "Scan a kit or a bar before a number.");
        bench->number[0] = '\0';
    }
}

static void take_number(struct bench *bench, const char *text) {
    if (!text_copy(bench->number, sizeof bench->number, text)) {
        bench->number[0] = '\0';
        bench_say(bench, BENCH_REFUSED, "%.40s is no number for here; was another barcode scanned?", text);
        return;
    }
    use_number(bench);
}

static void take_key(struct bench *bench, char key) {
    size_t used = strlen(bench->number);
    bool fits = used < 8 && (key != '.' || (used > 0 && strchr(bench->number, '.') == NULL));
    if (bench->hand != HAND_KITS && bench->hand != HAND_BAR) {
        bench_say(bench, BENCH_REFUSED, "Scan a kit or a bar before a number.");
    } else if (!fits) {
        bench_say(bench, BENCH_REFUSED, "%s: no more figures fit. UNDO forgets them.", bench->number);
    } else {
        bench->number[used] = key;
        bench->number[used + 1] = '\0';
        bench_say(bench, BENCH_TOLD, "%s", bench->number);
    }
}

/* --- Codes --- */

/* Kits that are being picked, and a bar with spoiled pieces, are not dropped by a scan of something else. */
static bool hands_full(struct bench *bench, const char *code) {
    bool full = bench->hand == HAND_KITS || (bench->hand == HAND_BAR && bench->spoiled_count > 0);
    if (full)
        bench_say(bench, BENCH_REFUSED,
                  "%s was not taken: %s in hand. DONE when %s ready, or STOP to lay %s aside.", code,
                  bench->hand == HAND_KITS ? "kits are" : "a bar is",
                  bench->hand == HAND_KITS ? "they are" : "it is", bench->hand == HAND_KITS ? "them" : "it");
    return full;
}

static void take_piece(struct bench *bench, const char *code) {
    if (bench->question == ASK_SPOILED)
        saw_spoiled(bench, code);
    else if (bench->hand == HAND_KITS)
        kits_piece(bench, code);
    else if (bench->hand == HAND_BAR)
        saw_piece(bench, code);
    else
        rack_look(bench, code);
}

static void take_code(struct bench *bench, const struct input *input) {
    const char *code = input->text;
    bool place = input->code.kind == CODE_PLACE || input->code.kind == CODE_PART;
    if (bench->question == ASK_SPOILED && input->code.kind != CODE_PIECE) {
        bench_say(bench, BENCH_REFUSED, "%s is no piece. Scan the spoiled piece, or UNDO.", code);
        return;
    }
    if (bench->question != ASK_NOTHING && bench->question != ASK_SPOILED) {
        bench_say(bench, BENCH_REFUSED, "%s was not taken: a question is open. UNDO leaves it.", code);
        return;
    }
    bool goes_on = bench->hand == HAND_KITS && (place || input->code.kind == CODE_KIT);
    if (input->code.kind == CODE_PIECE)
        take_piece(bench, code);
    else if (!goes_on && hands_full(bench, code))
        return;
    else if (input->code.kind == CODE_KIT)
        kits_scan(bench, code);
    else if (goes_on)
        kits_place(bench, code);
    else if (input->code.kind == CODE_BAR || input->code.kind == CODE_OFFCUT)
        saw_scan(bench, code);
    else if (input->code.kind == CODE_PARCEL)
        parcel_scan(bench, code);
    else
        rack_look(bench, code);
}

static void take_line(struct bench *bench, const char *line) {
    struct input input;
    if (bench->hand == HAND_KITS && bench->question == ASK_NOTHING && kits_names(bench, line)) {
        kits_place(bench, line);
        return;
    }
    input_read(line, &input);
    switch (input.kind) {
    case INPUT_NOTHING:
        bench_say(bench, BENCH_TOLD, "%s", "");
        break;
    case INPUT_WORD:
        take_word(bench, &input);
        break;
    case INPUT_KEY:
        take_key(bench, input.key);
        break;
    case INPUT_NUMBER:
        take_number(bench, input.text);
        break;
    case INPUT_CODE:
        take_code(bench, &input);
        break;
    case INPUT_TEXT:
        if (bench->hand == HAND_KITS && strchr(input.why, ':') == NULL)
            bench_say(bench, BENCH_REFUSED, "\"%.40s\" is neither a code nor a bin or part of this walk.",
                      line);
        else
            bench_say(bench, BENCH_REFUSED, "%s", input.why);
        break;
    }
}

void bench_line(struct bench *bench, enum line_kind kind, const char *line) {
    bench->whole_list = bench->fresh = false;
    bench->code[0] = '\0';
    bench->asked[0] = '\0';
    bench_say(bench, BENCH_TOLD, "%s", "");
    if (kind == LINE_LONG)
        bench_say(bench, BENCH_REFUSED, "That was too long for a code. Scan one thing at a time.");
    else if (kind == LINE_JUNK)
        bench_say(bench, BENCH_REFUSED, "That could not be read. Scan it again.");
    else if (kind == LINE_TEXT)
        take_line(bench, line);
}

/* --- The daemon --- */

bool bench_request(const struct bench *bench, const char **verb, const json_t **body) {
    *verb = bench->verb;
    *body = bench->body;
    return bench->verb != NULL;
}

/* Takes the request out; what it said can be read in `sent` until it is dealt with. */
static void close_request(struct bench *bench) {
    json_decref(bench->sent);
    bench->sent = bench->body;
    bench->body = NULL;
    bench->verb = NULL;
}

void bench_answer(struct bench *bench, const json_t *answer) {
    close_request(bench);
    bench->then(bench, answer);
}

void bench_refusal(struct bench *bench, const char *code, const char *message) {
    const char *verb = bench->verb;
    char before[BENCH_TEXT];
    bool far = strcmp(verb, "bar.cut") == 0 && strcmp(code, "check-measure") == 0;
    close_request(bench);
    text_copy(bench->code, sizeof bench->code, code);
    json_decref(bench->packing);
    bench->packing = NULL;
    text_copy(before, sizeof before, bench->said);
    /* What was done before a later step failed stays done. */
    if (bench->outcome == BENCH_DONE)
        bench_say(bench, BENCH_REFUSED, "%s But then: %s", before, message);
    else
        bench_say(bench, BENCH_REFUSED, "%s", message);
    bench_forget_question(bench);
    if (far)
        saw_ask_again(bench);
    if (bench->hand == HAND_KITS && strcmp(verb, "kit.show") != 0)
        kits_look(bench);
}
