/* Inside the room: the kinds of sheets. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_SHEETS_H
#define ELLWAND_LABEL_SHEETS_H

#include "label/flow.h"
#include "label/sheet.h"

/* Each reads its document and renders it: false and fault as in sheet_render. */
typedef bool sheet_maker(const json_t *document, struct label_pdf *pdf, struct fault *fault);

sheet_maker control_codes_render, count_sheet_render, curtain_sheet_render, cut_sheet_render,
    dispatch_note_render, fitting_sheet_render, measuring_sheet_render, packing_list_render, pick_list_render;

/* flow_render into a label_pdf. */
bool sheet_flow(const char *title, flow_compose *compose, const void *data, struct label_pdf *pdf,
                struct fault *fault);

#endif
