/* SPDX-License-Identifier: Apache-2.0 */
#include "bench/input.h"

#include "common/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* The number of a control code is its id; it never changes, for sheets hang on walls for years. */
static const struct {
    int id;
    enum bench_word word;
    char key;
    struct control control;
} controls[] = {
    {1, WORD_DONE, '\0', {"DONE", "packs the kits, confirms the bar, or what was asked"}},
    {2, WORD_UNDO, '\0', {"UNDO", "takes back the last thing"}},
    {3, WORD_SHORT, '\0', {"SHORT", "the bin holds less than the screen says"}},
    {4, WORD_STOP, '\0', {"STOP", "lays aside what is in hand; nothing is booked"}},
    {5, WORD_HELP, '\0', {"HELP", "says what can be scanned"}},
    {6, WORD_MORE, '\0', {"MORE", "shows the whole list"}},
    {7, WORD_SPOILED, '\0', {"SPOILED", "a piece was mis-cut: scan it next"}},
    {8, WORD_LOST, '\0', {"LOST", "a bar or offcut that is not there"}},
    {9, WORD_DAMAGED, '\0', {"DAMAGED", "a bar or offcut of no more use"}},
    {10, WORD_NONE, '0', {"0", ""}},
    {11, WORD_NONE, '1', {"1", ""}},
    {12, WORD_NONE, '2', {"2", ""}},
    {13, WORD_NONE, '3', {"3", ""}},
    {14, WORD_NONE, '4', {"4", ""}},
    {15, WORD_NONE, '5', {"5", ""}},
    {16, WORD_NONE, '6', {"6", ""}},
    {17, WORD_NONE, '7', {"7", ""}},
    {18, WORD_NONE, '8', {"8", ""}},
    {19, WORD_NONE, '9', {"9", ""}},
    {20, WORD_NONE, '.', {".", ""}},
};

static const struct {
    const char *text;
    enum bench_word word;
} typed[] = {
    {"done", WORD_DONE},   {"undo", WORD_UNDO},       {"short", WORD_SHORT}, {"stop", WORD_STOP},
    {"help", WORD_HELP},   {"?", WORD_HELP},          {"more", WORD_MORE},   {"spoiled", WORD_SPOILED},
    {"lost", WORD_LOST},   {"damaged", WORD_DAMAGED}, {"end", WORD_END},     {"write-off", WORD_WRITE_OFF},
    {"place", WORD_PLACE},
};

const struct control *control_at(size_t index, char code[CODE_TEXT]) {
    if (index >= sizeof controls / sizeof controls[0])
        return NULL;
    code_write(CODE_CONTROL, controls[index].id, code);
    return &controls[index].control;
}

static void read_control(const struct code *code, struct input *input) {
    for (size_t i = 0; i < sizeof controls / sizeof controls[0]; i++)
        if (controls[i].id == code->id && code->issue == 0) {
            input->kind = controls[i].key != '\0' ? INPUT_KEY : INPUT_WORD;
            input->word = controls[i].word;
            input->key = controls[i].key;
            return;
        }
    input->kind = INPUT_TEXT;
    snprintf(input->why, sizeof input->why, "%s is a control code that this program does not know.",
             input->text);
}

static bool read_word(const char *line, struct input *input) {
    size_t length = strcspn(line, " ");
    for (size_t i = 0; i < sizeof typed / sizeof typed[0]; i++) {
        bool takes_more = typed[i].word == WORD_WRITE_OFF || typed[i].word == WORD_PLACE;
        if (length != strlen(typed[i].text) || strncasecmp(line, typed[i].text, length) != 0 ||
            (line[length] != '\0' && !takes_more))
            continue;
        input->kind = INPUT_WORD;
        input->word = typed[i].word;
        text_copy(input->rest, sizeof input->rest, line + length + strspn(line + length, " "));
        return true;
    }
    return false;
}

void input_read(const char *line, struct input *input) {
    struct fault fault = {0};
    *input = (struct input){.kind = INPUT_TEXT};
    text_copy(input->text, sizeof input->text, line);
    if (line[0] == '\0') {
        input->kind = INPUT_NOTHING;
    } else if (read_word(line, input)) {
        return;
    } else if (line[0] >= '0' && line[0] <= '9') {
        input->kind = INPUT_NUMBER;
    } else if (!code_read(line, &input->code, &fault)) {
        text_copy(input->why, sizeof input->why, fault.message);
    } else {
        code_write_issue(&input->code, input->text);
        input->kind = INPUT_CODE;
        if (input->code.kind == CODE_CONTROL)
            read_control(&input->code, input);
    }
}

bool input_count(const char *text, long long *number) {
    char *end = NULL;
    size_t digits = strspn(text, "0123456789");
    if (digits == 0 || text[digits] != '\0' || digits > 7)
        return false;
    *number = strtoll(text, &end, 10);
    return true;
}

bool input_length(const char *text, const char *unit, ell_length *length) {
    char with_unit[LINE_MOST + 8];
    const char *last = text + strcspn(text, "abcdefghijklmnopqrstuvwxyz\"");
    if (strspn(text, "0123456789") > 7 || strlen(text) > LINE_MOST)
        return false;
    snprintf(with_unit, sizeof with_unit, "%s %s", text, *last == '\0' ? unit : "");
    return ell_length_parse(with_unit, length);
}
