/* Sheets on A4 paper as PDF pages: what the saw, the stores and the fitter take in hand. As with labels: the same bytes for the
 * same input, text is always plain text, black on white.
 *
 * Documents (lengths in mm; fields marked ? may be left out or null; in the documents of other rooms, marked *, fields that
 * a sheet does not show are passed over, everywhere else unknown fields are refused):
 *
 *   cut-sheet      plan, saw?, system?, finish?, date?, kerf, yield? (percent), gang? (bars that the saw takes at once, 1 to
 *                  20 = 1), bars [{sequence, bar, code?, place?, batch?, count?, length, squared?, lead_trim,
 *                  pieces [{piece, length, code?}], remainder, returns?, remainder_code?, remainder_place?}]
 *   pick-list      title?, date?, kits [{code, order, window, room?}]?, lines [{bin, name, part?, batch? (or the reel),
 *                  quantity, unit? ("each", "length"), kits? (text)}]
 *   packing-list   code (of the order), order, customer?, address? [lines], due?, notes?, unit?, parcels [{parcel, wrap?, mass? (g), longest?,
 *                  contents [{name, quantity?, note?}]}]
 *   dispatch-note  code (of the order), order, customer?, due?, notes?, unit?, parcels [{code, parcel, carrier?, wrap?, mass?
 *                  (g), outside? (its longest side), girth?}]
 *   fitting-sheet  order, customer?, due?, unit? ("mm", "cm", "in": what lengths are shown in), windows [{code? (of the
 *                  window), survey*, takeoff*, join_open?}]
 *   count-sheet    date?, stock_takes [{stock_take, round?, bin and code (of the bin) or place (of the rack), lines
 *                  [{part, name, batch?, unit?}]?}]
 *   measuring-sheet order?, customer?, due?, unit?, windows? (1 to 100 = 1: pages), and of the catalogue substrates*, headings*,
 *                  systems*, finishes* [{code, name}]
 *   control-codes  codes [{code, name, what?}]: what a scanner session takes besides labels
 *   curtain-sheet  as fitting-sheet: what is sewn for its windows, and the cloth to buy
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_SHEET_H
#define ELLWAND_LABEL_SHEET_H

#include "label/label.h"

/* Renders one document of the kind. Faults: "unknown-sheet", any fault of form_*, "bad-code", "misread-code",
 * "label-too-small" when a figure does not fit its place; *pdf (freed by label_pdf_free) is then untouched. */
bool sheet_render(const char *kind, const json_t *document, struct label_pdf *pdf,
                  struct fault *fault) MUST_CHECK;

#endif
