/* Inside the room: the kinds of labels, and what they share. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_KINDS_H
#define ELLWAND_LABEL_KINDS_H

#include "label/code.h"
#include "label/page.h"
#include "label/stock.h"
#include "label/units.h"

/* Reads `payload` and lays out its label number `part` (from 0) in `area`; *parts becomes how many labels it
 * takes. Failures are the page's. */
typedef void label_layout(struct page *page, struct area area, const json_t *payload, unsigned part,
                          unsigned *parts);

label_layout piece_layout, kit_layout, offcut_layout, bar_layout, bin_layout, parcel_layout;

/* The layout of a kind by name; NULL and fault "unknown-label". */
label_layout *label_kind_find(const char *name, struct fault *fault);

/* One label on a page of its own, as label_render does it on a roll. Begins the page. */
void label_on_page(struct page *page, label_layout *layout, const struct label_stock *stock,
                   const json_t *payload, unsigned part, unsigned *parts);

/* The least letter size on a label: capitals 1.5 mm high. */
#define LABEL_LEAST 6.0

/* How large the lettering of a label is, from its size. */
enum label_shape { SHAPE_STRIP, SHAPE_SMALL, SHAPE_LARGE };
enum label_shape label_shape(struct area area);

/* The label without its margin: 1 mm on a strip, 2 mm otherwise. */
struct area label_inside(struct area area);

/* Reads the field "code" and checks that it is a code of this kind. */
void form_code(struct form *form, enum code_kind kind, char text[CODE_TEXT]);

/* Reads a code of any kind that may be left out ("" then). */
void form_code_or(struct form *form, const char *name, char text[CODE_TEXT]);

/* Reads a list of at most `most` texts of at most 127 bytes, [] when absent. Returns how many there are. */
size_t form_lines(struct form *form, const char *name, char lines[][128], size_t most);

/* A scan symbol with its text, cut off the left of `rest`, and what the column below has left in *below (may
 * be NULL). On a strip a Code 128 symbol where there is room for one. */
void motif_symbol(struct page *page, struct area *rest, enum label_shape shape, const char *code,
                  struct area *below);

/* White letters on black, as wide as the text needs, cut off the right of `row`. Empty text leaves the row
 * alone. */
void motif_tag(struct page *page, struct area *row, double points, const char *text);

/* A length as large as `box` lets it be, with its unit beside it and, when that is not millimetres, these below; returns what is left of the box. Never shortened. */
struct area motif_length(struct page *page, struct area box, ell_length length, enum label_unit unit,
                         double points);

/* "reprint 2" in a frame, at the foot of `column`; nothing for 0. */
void motif_reprint(struct page *page, struct area *column, int64_t reprint);

/* The same as text, "" for 0; for layouts that have another place for it. Returns `text`. */
char *motif_reprint_text(int64_t reprint, char text[32]);

/* A warning triangle that fills `sign` (a little wider than high). */
void motif_warning(struct page *page, struct area sign);

/* A warning triangle and a text beside it. */
void motif_caution(struct page *page, struct area box, const char *text, double points);

/* The parts that are not empty, with " · " between them. Returns `text`. */
char *motif_join(char *text, size_t size, const char *first, const char *second, const char *third);

#endif
