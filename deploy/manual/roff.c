/* SPDX-License-Identifier: Apache-2.0 */
#include "roff.h"

#include <ctype.h>
#include <ellwand/version.h>
#include <stdbool.h>
#include <string.h>

/* A hyphen is what people copy, and no dash. */
static void put_letter(FILE *page, char letter) {
    if (letter == '-' || letter == '\\')
        fputs(letter == '-' ? "\\-" : "\\e", page);
    else
        putc(letter, page);
}

/* One line of text without its end. A dot at its start would be a request to troff. */
static void print_line(FILE *page, const char *text, size_t length) {
    bool bold = false;
    if (length > 0 && (text[0] == '.' || text[0] == '\''))
        fputs("\\&", page);
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '`')
            fputs((bold = !bold) ? "\\fB" : "\\fR", page);
        else
            put_letter(page, text[i]);
    }
    fputs(bold ? "\\fR\n" : "\n", page);
}

/* The name bold, words that stand for something, such as FILE or NAME=LENGTH, slanted, what is around them upright. */
static void print_term(FILE *page, const char *term) {
    size_t name = strcspn(term, " =[");
    char face = 'R';
    for (size_t i = 0; term[i] != '\0'; i++) {
        char wanted = i < name ? 'B' : isupper((unsigned char)term[i]) ? 'I' : 'R';
        if (wanted != face)
            fprintf(page, "\\f%c", face = wanted);
        put_letter(page, term[i]);
    }
    fputs(face != 'R' ? "\\fR\n" : "\n", page);
}

void roff_head(FILE *page, const char *name, const char *section, const char *purpose) {
    fprintf(page, ".\\\" Made by the build from the tables of the programs: change those.\n.TH ");
    for (const char *at = name; *at != '\0'; at++)
        fprintf(page, *at == '-' ? "\\-" : "%c", toupper((unsigned char)*at));
    fprintf(page, " %s \"\" \"Ellwand %s\" \"Ellwand\"\n.nh\n.ad l\n.SH NAME\n", section, ELL_VERSION);
    for (const char *at = name; *at != '\0'; at++)
        fprintf(page, *at == '-' ? "\\-" : "%c", *at);
    fputs(" \\- ", page);
    print_line(page, purpose, strlen(purpose));
}

void roff_section(FILE *page, const char *title) {
    fputs(".SH ", page);
    for (const char *at = title; *at != '\0'; at++)
        fprintf(page, *at == '-' ? "\\-" : "%c", toupper((unsigned char)*at));
    putc('\n', page);
}

void roff_subsection(FILE *page, const char *title) {
    fputs(".SS ", page);
    print_line(page, title, strlen(title));
}

void roff_paragraph(FILE *page, const char *text) {
    fputs(".PP\n", page);
    roff_text(page, text);
}

void roff_entry(FILE *page, const char *term, const char *text) {
    fputs(".TP\n", page);
    print_term(page, term);
    roff_text(page, text);
}

void roff_literal(FILE *page, const char *text) {
    fputs(".PP\n.RS 4\n.nf\n", page);
    while (*text != '\0') {
        size_t length = strcspn(text, "\n");
        print_line(page, text, length);
        text += length + (text[length] == '\n');
    }
    fputs(".fi\n.RE\n", page);
}

void roff_text(FILE *page, const char *text) {
    bool kept = false;
    while (*text != '\0') {
        size_t length = strcspn(text, "\n");
        bool keep = strncmp(text, "  ", 2) == 0;
        if (keep != kept)
            fputs(keep ? ".nf\n" : ".fi\n", page);
        kept = keep;
        if (length > 0)
            print_line(page, text, length);
        else
            fputs(".sp\n", page);
        text += length + (text[length] == '\n');
    }
    if (kept)
        fputs(".fi\n", page);
}

void roff_options(FILE *page, const struct argp_option *options) {
    for (const struct argp_option *option = options; option->name != NULL || option->doc != NULL; option++) {
        if (option->name == NULL || (option->flags & OPTION_HIDDEN) != 0)
            continue;
        char term[120];
        bool shorter = isascii(option->key) && isgraph(option->key);
        snprintf(term, sizeof term, "--%s%s%s", option->name, option->arg != NULL ? "=" : "",
                 option->arg != NULL ? option->arg : "");
        size_t length = strlen(term);
        if (shorter)
            snprintf(term + length, sizeof term - length, ", -%c%s%s", option->key,
                     option->arg != NULL ? " " : "", option->arg != NULL ? option->arg : "");
        roff_entry(page, term, option->doc);
    }
}
