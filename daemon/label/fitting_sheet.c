/* The fitting sheet: what a fitter takes along, one window after the other. SPDX-License-Identifier: Apache-2.0 */
#include "label/fitting_steps.h"
#include "label/kinds.h"
#include "label/sheets.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SHEET_WINDOWS = 60 };

struct fitting_sheet {
    char order[64], customer[128], due[11];
    enum label_unit unit;
    size_t count;
    struct fitting *windows; /* owned */
};

static bool read_sheet(const json_t *json, struct fitting_sheet *sheet, struct fault *fault) {
    struct form form;
    char path[128];
    form_open(&form, json, "", fault);
    form_text(&form, "order", sheet->order, sizeof sheet->order);
    form_text_or(&form, "customer", sheet->customer, sizeof sheet->customer, "");
    form_date_or(&form, "due", sheet->due, "");
    sheet->unit = form_unit(&form);
    const json_t *windows = form_array(&form, "windows", 1, SHEET_WINDOWS);
    if (!form_close(&form))
        return false;
    sheet->windows = calloc(json_array_size(windows), sizeof *sheet->windows);
    if (sheet->windows == NULL)
        return fault_memory(fault);
    size_t index;
    json_t *window;
    json_array_foreach(windows, index, window) {
        form_below(&form, "windows", (long)index, path);
        if (!fitting_read(window, path, sheet->unit, &sheet->windows[sheet->count++], fault))
            return false;
    }
    return true;
}

static void make_head(const struct fitting_sheet *sheet, const struct fitting *fitting,
                      struct flow_head *head) {
    static const char *const controls[] = {"drawn by hand", "cord on the left", "cord on the right"};
    char due[24] = "";
    static const char *const feet[] = {
        [UNIT_MM] =
            "Lengths in mm. Local rules, and the judgement of a competent person on site, come first.",
        [UNIT_CM] =
            "Lengths in cm. Local rules, and the judgement of a competent person on site, come first.",
        [UNIT_INCH] = "Lengths in inches, to 1/32. Local rules, and the judgement of a competent person on "
                      "site, come first."};
    *head = (struct flow_head){.title = "Fitting sheet", .foot = feet[sheet->unit]};
    motif_join(head->name, sizeof head->name, sheet->order, fitting->window, NULL);
    if (sheet->due[0])
        snprintf(due, sizeof due, "due %s", sheet->due);
    motif_join(head->lines[0], sizeof head->lines[0], fitting->room, sheet->customer, NULL);
    motif_join(head->lines[1], sizeof head->lines[1], fitting->system, fitting->finish,
               controls[fitting->control]);
    motif_join(head->lines[2], sizeof head->lines[2], fitting->top ? "fixed from above" : "fixed to the face",
               fitting->inside ? "inside the recess" : "outside the recess", due);
    snprintf(head->code, sizeof head->code, "%s", fitting->code);
}

static void draw_refusal(struct flow *flow, const struct fitting *fitting) {
    static const struct text_style style = {
        .most = 14, .least = 10, .bold = true, .white = true, .align = ALIGN_CENTRE};
    if (!fitting->refused)
        return;
    struct area band = flow_take(flow, 10);
    page_fill(&flow->page, band, 0);
    page_text(&flow->page, area_inset(band, 3, 1), &style, "DO NOT FIT: this track does not hold as it is");
    for (size_t i = 0; i < fitting->advice_count; i++)
        if (fitting->advice[i].severity == 2) {
            char text[512];
            snprintf(text, sizeof text, "%s %s", fitting->advice[i].message, fitting->advice[i].remedy);
            flow_caution(flow, text, SHEET_TEXT);
        }
}

/* A sheet drawn too early must not reach the wall. */
static void draw_open_join(struct flow *flow, const struct fitting *fitting) {
    if (fitting->join_open)
        flow_caution(flow,
                     "Not final: the saw may still join this track at another bracket. Draw this sheet again "
                     "once the pieces are released.",
                     SHEET_TEXT);
}

/* A name and what it is, on two lines or one. */
static void draw_fact(struct page *page, struct area *column, const char *name, const char *value,
                      double points) {
    struct text_style small = {.most = 7.5, .least = 6.5};
    struct text_style large = {.most = points, .least = 7, .bold = true, .lines = 2, .settle = SETTLE_TOP};
    if (value[0] == '\0')
        return;
    double height = page_text_height(page, &large, column->width, value);
    page_text(page, area_top(column, 3.6), &small, name);
    page_text(page, area_top(column, fmin(height, 12) + 1.4), &large, value);
}

/* A part by the name that stands on its bag. */
static const char *part_name(const struct fitting *fitting, const char *role, const char *otherwise) {
    const struct fitting_part *part = fitting_part_of(fitting, role);
    return part != NULL ? part->name : otherwise;
}

static void draw_facts(struct page *page, struct area column, const struct fitting *fitting) {
    char text[256], depth[ELL_LENGTH_TEXT], length[UNIT_TEXT];
    draw_fact(page, &column, "into", fitting->wall, 11);
    if (fitting->drill > 0) {
        snprintf(text, sizeof text, "%g mm, %s mm deep%s", fitting->drill,
                 ell_length_text(fitting->depth, depth), fitting->pilot ? " (pilot)" : "");
        draw_fact(page, &column, "drill", text, 14);
    }
    draw_fact(page, &column, "plug", part_name(fitting, "plug", fitting->plug[0] ? fitting->plug : "none"),
              10);
    snprintf(text, sizeof text, "%s: %" PRId64 " in each", part_name(fitting, "screw", fitting->screw),
             fitting->screws);
    draw_fact(page, &column, "screw", fitting->screw[0] ? text : "", 10);
    snprintf(text, sizeof text, "%zu, %s", fitting->mark_count,
             fitting->even ? "evenly spaced" : "unevenly spaced: mind the figures");
    draw_fact(page, &column, "brackets", text, 11);
    if (fitting->cord_length != FITTING_UNKNOWN)
        draw_fact(page, &column, "cord", fitting_length(fitting, fitting->cord_length, length), 11);
    snprintf(text, sizeof text, "%.1f kg, at most %.0f %% of what the parts may carry",
             fitting->weight / 1000, fitting->worst_use);
    draw_fact(page, &column, "curtains", fitting->weight > 0 ? text : "", 9.5);
    draw_fact(page, &column, "note", fitting->note, 9);
}

/* Parts in two columns, each row to be ticked off. */
static void draw_parts(struct flow *flow, const struct fitting *fitting) {
    struct text_style quantity = {
        .most = SHEET_TEXT, .least = 7, .bold = true, .essential = true, .align = ALIGN_RIGHT};
    struct text_style name = {.most = SHEET_TEXT, .least = 7};
    size_t rows = (fitting->part_count + 1) / 2;
    if (rows == 0)
        return;
    flow_heading(flow, "Parts", 10);
    for (size_t row = 0; row < rows; row++) {
        struct area strip = flow_take(flow, 5.4);
        for (size_t at = row; at < fitting->part_count; at += rows) {
            struct area cell = area_left(&strip, at == row ? strip.width / 2 : strip.width);
            cell.width -= at == row ? 5 : 0;
            page_line(&flow->page, cell.x, cell.y + cell.height, cell.x + cell.width, cell.y + cell.height,
                      0.12, 0);
            struct area tick = area_left(&cell, 5);
            page_frame(&flow->page, (struct area){tick.x + 0.3, tick.y + 1, 3.2, 3.2}, 0.25);
            page_text(&flow->page, area_left(&cell, 19), &quantity, fitting->parts[at].quantity);
            area_left(&cell, 2.5);
            page_text(&flow->page, cell, &name, fitting->parts[at].name);
        }
    }
}

static void draw_steps(struct flow *flow, const struct fitting *fitting) {
    char steps[FITTING_STEPS][FITTING_STEP_TEXT], sign[24], tools[FITTING_STEP_TEXT];
    size_t count = fitting_steps(fitting, steps);
    flow_heading(flow, "Tools", 12);
    flow_paragraph(flow, NULL, fitting_tools(fitting, tools), SHEET_TEXT);
    double height = 44;
    for (size_t i = 0; i < count; i++)
        height += page_text_height(&flow->page, &(struct text_style){.most = SHEET_TEXT},
                                   flow->rest.width - 8, steps[i]) +
                  1;
    flow_heading(flow, "Steps", height);
    fitting_draw_pictures(flow, fitting);
    for (size_t i = 0; i < count; i++) {
        snprintf(sign, sizeof sign, "%zu", i + 1);
        flow_paragraph(flow, sign, steps[i], SHEET_TEXT);
    }
}

static void draw_cautions(struct flow *flow, const struct fitting *fitting) {
    char text[512];
    flow_heading(flow, "Cautions", 10);
    if (fitting->corded)
        flow_caution(flow,
                     "The cord is a loop: a small child can strangle in it. The tension pulley must hold it "
                     "taut before anyone "
                     "uses the track. The law of the place decides whether a cord is allowed here.",
                     SHEET_TEXT);
    for (size_t i = 0; i < fitting->advice_count; i++) {
        const struct fitting_advice *advice = &fitting->advice[i];
        if (advice->severity != 1 || (fitting->corded && strcmp(advice->code, "cord-loop") == 0))
            continue;
        snprintf(text, sizeof text, "%s %s", advice->message, advice->remedy);
        flow_caution(flow, text, SHEET_SMALL);
    }
    bool notes = false;
    for (size_t i = 0; i < fitting->advice_count; i++) {
        if (fitting->advice[i].severity != 0)
            continue;
        if (!notes)
            flow_heading(flow, "Notes", 6);
        notes = true;
        snprintf(text, sizeof text, "%s %s", fitting->advice[i].message, fitting->advice[i].remedy);
        flow_paragraph(flow, "•", text, SHEET_SMALL);
    }
}

static void compose_window(struct flow *flow, const struct fitting_sheet *sheet,
                           const struct fitting *fitting) {
    static const struct text_style caption = {.most = 11, .least = 9, .bold = true};
    struct flow_head head;
    make_head(sheet, fitting, &head);
    flow_begin(flow, &head);
    draw_refusal(flow, fitting);
    draw_open_join(flow, fitting);
    page_text(&flow->page, flow_take(flow, 6), &caption, "Marks, seen from the room");
    fitting_draw_marks(&flow->page, flow_take(flow, fitting_marks_height(flow->rest.width, fitting)),
                       fitting);
    struct area strip = flow_take(flow, 94);
    struct area facts = area_right(&strip, 56);
    area_right(&strip, 5);
    if (fitting->bend_count > 0)
        fitting_draw_plan(&flow->page, strip, fitting);
    else
        fitting_draw_elevation(&flow->page, strip, fitting);
    draw_facts(&flow->page, facts, fitting);
    draw_parts(flow, fitting);
    draw_steps(flow, fitting);
    draw_cautions(flow, fitting);
}

static void compose(struct flow *flow, const void *data) {
    const struct fitting_sheet *sheet = data;
    for (size_t i = 0; i < sheet->count; i++)
        compose_window(flow, sheet, &sheet->windows[i]);
}

bool fitting_sheet_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct fitting_sheet sheet = {.count = 0};
    bool good =
        read_sheet(document, &sheet, fault) && sheet_flow("fitting sheet", compose, &sheet, pdf, fault);
    free(sheet.windows);
    return good;
}
