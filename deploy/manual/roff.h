/* Manual pages in the man macros of troff, from plain texts. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_MANUAL_ROFF_H
#define ELLWAND_MANUAL_ROFF_H

#include <argp.h>
#include <stdio.h>

/* The head of a page: "ellwand", "1", "asks a workshop's daemon for things". */
void roff_head(FILE *page, const char *name, const char *section, const char *purpose);
void roff_section(FILE *page, const char *title);
void roff_subsection(FILE *page, const char *title);
void roff_paragraph(FILE *page, const char *text);
/* An entry with its text hanging below it. The term is bold up to the first blank or '=', the rest slanted. */
void roff_entry(FILE *page, const char *term, const char *text);
/* Lines kept as they are. */
void roff_literal(FILE *page, const char *text);
/* Running text: what stands in `backquotes` is bold; lines that begin with two blanks stay lines. Ends with a new line. */
void roff_text(FILE *page, const char *text);
/* The options of an argp table, hidden ones and headings left out. */
void roff_options(FILE *page, const struct argp_option *options);

#endif
