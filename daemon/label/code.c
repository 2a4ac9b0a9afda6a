/* SPDX-License-Identifier: Apache-2.0 */
#include "label/code.h"

#include <ctype.h>
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

static const char alphabet[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

static const struct {
    char letter;
    const char *name;
} kinds[CODE_KINDS] = {
    [CODE_PIECE] = {'P', "piece"},     [CODE_KIT] = {'K', "kit"},     [CODE_OFFCUT] = {'F', "offcut"},
    [CODE_BAR] = {'B', "bar"},         [CODE_PLACE] = {'L', "place"}, [CODE_ORDER] = {'O', "order"},
    [CODE_WINDOW] = {'W', "window"},   [CODE_PART] = {'T', "part"},   [CODE_PARCEL] = {'C', "parcel"},
    [CODE_CONTROL] = {'X', "control"},
};

const char *code_kind_name(enum code_kind kind) {
    return kinds[kind].name;
}

char code_kind_letter(enum code_kind kind) {
    return kinds[kind].letter;
}

char code_check(const char *text) {
    int sum = 0;
    for (const char *at = text; *at; at++) {
        const char *found = strchr(alphabet, *at);
        if (found == NULL)
            return '\0';
        sum = (sum + (int)(found - alphabet)) * 2 % 37;
    }
    return alphabet[(38 - sum) % 37];
}

/* 1 is A, 26 is Z, 27 is AA. */
static void write_issue(int issue, char letters[4]) {
    char reversed[4];
    int count = 0, used = 0;
    for (; issue > 0 && count < 3; issue = (issue - 1) / 26)
        reversed[count++] = (char)('A' + (issue - 1) % 26);
    while (count > 0)
        letters[used++] = reversed[--count];
    letters[used] = '\0';
}

char *code_write_issue(const struct code *code, char text[CODE_TEXT]) {
    char issue[4];
    write_issue(code->issue, issue);
    int used = snprintf(text, CODE_TEXT - 1, "%c%" PRId64 "%s", kinds[code->kind].letter, code->id, issue);
    text[used] = code_check(text);
    text[used + 1] = '\0';
    return text;
}

char *code_write(enum code_kind kind, int64_t id, char text[CODE_TEXT]) {
    return code_write_issue(&(struct code){kind, id, 0}, text);
}

static bool misshapen(const char *given, struct fault *fault) {
    return fault_set(
        fault, "bad-code", "",
        "\"%.40s\" is not a scan code. One is a letter, a number and a check character, such as %s.", given,
        code_write(CODE_PIECE, 1048, (char[CODE_TEXT]){""}));
}

/* Copies without the blanks around and in capitals; the length, or 0 when it does not fit. */
static size_t tidy(const char *given, char text[CODE_TEXT]) {
    while (isspace((unsigned char)*given))
        given++;
    size_t length = strlen(given);
    while (length > 0 && isspace((unsigned char)given[length - 1]))
        length--;
    if (length >= CODE_TEXT)
        return 0;
    for (size_t i = 0; i < length; i++)
        text[i] = (char)toupper((unsigned char)given[i]);
    text[length] = '\0';
    return length;
}

/* Reads "1048AB" after the kind's letter. */
static bool read_number(const char *at, struct code *code) {
    int64_t id = 0;
    int issue = 0, letters = 0;
    for (; isdigit((unsigned char)*at); at++)
        if (__builtin_mul_overflow(id, 10, &id) || __builtin_add_overflow(id, *at - '0', &id))
            return false;
    for (; *at >= 'A' && *at <= 'Z' && letters < 3; at++, letters++)
        issue = issue * 26 + (*at - 'A' + 1);
    code->id = id;
    code->issue = issue;
    return *at == '\0' && id > 0 && issue <= CODE_ISSUE_MOST;
}

bool code_read(const char *given, struct code *code, struct fault *fault) {
    char text[CODE_TEXT] = "";
    struct code read = {CODE_PIECE, 0, 0};
    size_t length = tidy(given, text), kind = 0;
    if (length < 3 || text[1] == '0')
        return misshapen(given, fault);
    char check = text[length - 1];
    text[length - 1] = '\0';
    while (kind < CODE_KINDS && kinds[kind].letter != text[0])
        kind++;
    if (kind == CODE_KINDS || !read_number(text + 1, &read))
        return misshapen(given, fault);
    if (check != code_check(text))
        return fault_set(fault, "misread-code", "",
                         "\"%.40s\" was misread or mistyped: its last character does not fit. Scan it again.",
                         given);
    *code = (struct code){(enum code_kind)kind, read.id, read.issue};
    return true;
}
