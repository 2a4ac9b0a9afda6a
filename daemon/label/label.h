/* Labels as PDF pages at the stock's true size, black on white, the same bytes for the same input.
 *
 * Payloads (JSON objects; fields marked ? may be left out or null; lengths in mm; unknown fields are refused;
 * "code" is a scan code of label/code.h of the kind's own letter):
 *
 *   piece   code, order, window, room?, length, piece, of, side ("left", "right", "middle", "whole"), system, finish?,
 *           batch?, saw?, plan? (number), sequence? (of its bar in the plan), cut? (its place along the bar), due?, join_end? ("none",
 *           "left", "right", "both"), unit?, reprint?
 *   kit     code, order, window, room?, system, finish?, corded?, due?, parts? [{name, quantity, unit ("each",
 *           "length"), bin?}], cautions? [text], reprint?
 *   offcut  code, length, system, finish?, batch?, place?, date?, squared?, unit?, reprint?
 *   bar     code, length, system, finish?, batch?, place?, date?, unit?, reprint?
 *   bin     code, name, part?, note?, reprint?
 *   parcel  code, order, customer?, address? [lines], parcel, of, longest?, contents? [text], unit?, reprint?
 *
 * "unit" is "mm" (when absent), "cm" or "in" (to the nearest 1/32): what the length is shown in; where a saw is set or a rack
 * searched by it, the millimetres stand below.
 * "reprint" counts the times it was printed before (0 when absent) and is then marked on the label.
 * A corded kit carries a caution about cord loops whatever its list of cautions says; of the list, the first that a third of
 * the label holds are shown.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_LABEL_H
#define ELLWAND_LABEL_LABEL_H

#include "label/stock.h"

struct label_pdf {
    unsigned char *bytes; /* malloc'ed; free with label_pdf_free */
    size_t count;
    unsigned pages;
    unsigned missing; /* letters that no installed font has, printed as U+FFFD: worth a warning */
    unsigned *ends;   /* on which page, from 1, each label of the payload ends; NULL for sheets; malloc'ed */
    size_t label_count;
    int free_place; /* of the last sheet of labels, from 1; 1 when it is full, and on a roll */
};

/* Renders `payload`, one label or a list of 1 to 1000 of them, in order. On a roll each label is a page (a
 * kit with more parts than one label holds takes several, numbered); on a sheet they fill it row by row, the first
 * one from the first place that is not used (stock->used). A
 * label taller than wide is laid out lying and turned.
 *
 * Safe from several threads at once. False with fault: "unknown-label", any fault of form_*, "bad-code",
 * "misread-code", or "label-too-small" when a figure or a scan symbol cannot be made large enough to read;
 * *pdf is then untouched. Text is always plain text, whatever it holds. */
bool label_render(const char *kind, const struct label_stock *stock, const json_t *payload,
                  struct label_pdf *pdf, struct fault *fault) MUST_CHECK;

void label_pdf_free(struct label_pdf *pdf);

/* True when the fonts are there: DejaVu Sans, and some font for each of Latin, Greek, Cyrillic, Hebrew, Arabic,
 * Devanagari, Thai, Chinese, Japanese and Korean. Otherwise fault "no-font" names what to install. Ask once at start. */
bool label_fonts_check(struct fault *fault) MUST_CHECK;

#endif
