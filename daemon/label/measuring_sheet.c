/* The measuring sheet: what to measure at one window, and what to ask, as a form for pencil and clipboard. It asks in the words
 * and in the order of the survey, so that it can be typed off as it stands. SPDX-License-Identifier: Apache-2.0 */
#include "label/measuring.h"
#include "label/sheets.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { SHEETS = 100, CATALOGUE_LIST = 4096, NEAR_ROWS = 3 };

struct measuring_sheet {
    char order[64], customer[128], due[11];
    enum label_unit unit;
    int64_t windows;
    struct choices substrates, headings, systems, finishes;
};

/* Codes and names of a list of the catalogue; what else its items say is passed over. */
static void read_choices(struct form *above, const char *name, struct choices *choices) {
    const json_t *list = form_array(above, name, 1, CATALOGUE_LIST);
    size_t index;
    json_t *json;
    char path[128];
    json_array_foreach(list, index, json) {
        struct form form;
        if (above->failed || index == MEASURING_CHOICES)
            break;
        struct choice *choice = &choices->items[choices->count++];
        form_open(&form, json, form_below(above, name, (long)index, path), above->fault);
        form_text(&form, "code", choice->code, sizeof choice->code);
        form_text(&form, "name", choice->name, sizeof choice->name);
        above->failed = form.failed;
    }
    choices->more = json_array_size(list) > choices->count;
}

static bool read_sheet(const json_t *json, struct measuring_sheet *sheet, struct fault *fault) {
    struct form form;
    form_open(&form, json, "", fault);
    form_text_or(&form, "order", sheet->order, sizeof sheet->order, "");
    form_text_or(&form, "customer", sheet->customer, sizeof sheet->customer, "");
    form_date_or(&form, "due", sheet->due, "");
    sheet->unit = form_unit(&form);
    sheet->windows = form_integer_or(&form, "windows", 1, SHEETS, 1);
    read_choices(&form, "substrates", &sheet->substrates);
    read_choices(&form, "headings", &sheet->headings);
    read_choices(&form, "systems", &sheet->systems);
    read_choices(&form, "finishes", &sheet->finishes);
    return form_close(&form);
}

/* Lines side by side, each with a share of the row. */
struct blank {
    const char *word, *value;
    double share;
};

static void draw_blanks(struct flow *flow, double height, const struct blank *blanks, int count) {
    struct area row = flow_take(flow, height);
    double whole = row.width;
    for (int i = 0; i < count; i++)
        measuring_draw_blank(&flow->page, area_left(&row, whole * blanks[i].share), blanks[i].word,
                             blanks[i].value);
}

static void draw_names(struct flow *flow, const struct measuring_sheet *sheet) {
    const struct blank first[] = {
        {"order", sheet->order, 0.2}, {"customer", sheet->customer, 0.6}, {"due", sheet->due, 0.2}};
    static const struct blank second[] = {
        {"window", "", 0.2}, {"room", "", 0.35}, {"measured by", "", 0.25}, {"day", "", 0.2}};
    draw_blanks(flow, 9, first, 3);
    draw_blanks(flow, 9.5, second, 4);
    flow_gap(flow, 3);
}

static void draw_measures(struct flow *flow, const struct measuring_sheet *sheet) {
    struct area strip = flow_take(flow, 63);
    measuring_draw_boxes(&flow->page, area_right(&strip, 80), sheet->unit);
    strip.width -= 6;
    measuring_draw_room(&flow->page, strip);
    flow_gap(flow, 1);
    flow_paragraph(
        flow, NULL,
        "A outside the recess: once, in the middle. Inside: at three heights; the smallest counts. Steel "
        "tape, "
        "every measure read twice. E and F: up to a wall, a cupboard or what else stops an open curtain.",
        SHEET_SMALL);
    flow_gap(flow, 1);
}

static void draw_wishes(struct flow *flow, const struct measuring_sheet *sheet) {
    static const struct choices fixed = {
        {{"face", "on the wall"}, {"top", "up into ceiling or recess"}}, 2, false};
    static const struct choices place = {{{"outside", "of the recess"}, {"inside", "the recess"}}, 2, false};
    static const struct choices batten = {{{"batten", "fixed first, carries the track"}}, 1, false};
    static const struct choices control = {{{"hand", ""}, {"cord-left", ""}, {"cord-right", ""}}, 3, false};
    static const struct choices draw = {
        {{"pair", "to both sides"}, {"left", "all on the left"}, {"right", "all on the right"}}, 3, false};
    static const struct choices children = {
        {{"may be there", "taken so if not ticked"}, {"never in the room", ""}}, 2, false};
    static const struct choices reach = {
        {{"floor", "to the floor"}, {"sill", "to the sill"}, {"drop", "as written"}}, 3, false};
    measuring_draw_choices(flow, "Fixed to", &fixed);
    measuring_draw_choices(flow, "Place", &place);
    measuring_draw_choices(flow, "Into", &sheet->substrates);
    measuring_draw_choices(flow, "", &batten);
    measuring_draw_choices(flow, "Control", &control);
    measuring_draw_choices(flow, "Opens", &draw);
    measuring_draw_choices(flow, "Children", &children);
    measuring_draw_choices(flow, "Track", &sheet->systems);
    measuring_draw_choices(flow, "Finish", &sheet->finishes);
    measuring_draw_choices(flow, "Curtain", &reach);
    measuring_draw_choices(flow, "Heading", &sheet->headings);
}

static void draw_figures(struct flow *flow) {
    static const struct blank blanks[] = {{"drop", "", 0.14},
                                          {"clearance", "", 0.14},
                                          {"fullness", "", 0.12},
                                          {"cloth g/m2", "", 0.14},
                                          {"lining g/m2", "", 0.14},
                                          {"interlining g/m2", "", 0.14},
                                          {"longest carried in", "", 0.18}};
    draw_blanks(flow, 10, blanks, 7);
    flow_gap(flow, 2);
}

static void draw_bay(struct flow *flow) {
    static const struct text_style heading = {.most = 9, .least = 7, .bold = true};
    static const char *const words[] = {"1", "2", "3", "4", "5", "angle a", "b", "c", "d"};
    struct area row = flow_take(flow, 11);
    page_text(&flow->page, area_left(&row, 24), &heading, "A bay");
    measuring_draw_bay(&flow->page, area_left(&row, 46));
    area_left(&row, 3);
    double width = row.width / 9;
    for (int i = 0; i < 9; i++)
        measuring_draw_blank(&flow->page, area_left(&row, width), words[i], "");
}

static void draw_near(struct flow *flow) {
    static const struct flow_column columns[] = {
        {"in the wall or before it: socket, switch, radiator, heater, pipe, cable", 0.4, ALIGN_LEFT, false},
        {"from the opening's left edge", 0.18, ALIGN_LEFT, false},
        {"width", 0.13, ALIGN_LEFT, false},
        {"above the floor", 0.15, ALIGN_LEFT, false},
        {"height", 0.14, ALIGN_LEFT, false}};
    static const char *const empty[] = {"", "", "", "", ""};
    flow_gap(flow, 2);
    flow_row(flow, flow_take(flow, 4.5), columns, 5, NULL, 0);
    for (int i = 0; i < NEAR_ROWS; i++)
        flow_row(flow, flow_take(flow, 6.6), columns, 5, empty, 9);
}

/* Lines down to the foot of the page. */
static void draw_notes(struct flow *flow) {
    struct blank line = {"notes", "", 1};
    for (; flow->rest.height > 8; line.word = "")
        draw_blanks(flow, 8, &line, 1);
}

static void compose(struct flow *flow, const void *data) {
    const struct measuring_sheet *sheet = data;
    struct flow_head head = {
        .title = "Measuring sheet",
        .foot =
            "Use a sound ladder. Look for pipes and cables before you drill. The wall is judged on site by a "
            "competent person on site."};
    snprintf(head.name, sizeof head.name, "%s", sheet->order[0] ? sheet->order : "One window");
    snprintf(head.lines[0], sizeof head.lines[0], "%s", sheet->customer);
    snprintf(head.lines[1], sizeof head.lines[1], sheet->due[0] ? "due %s" : "%s", sheet->due);
    snprintf(head.lines[2], sizeof head.lines[2], "lengths in %s", unit_name(sheet->unit));
    for (int64_t i = 0; i < sheet->windows; i++) {
        flow_begin(flow, &head);
        draw_names(flow, sheet);
        draw_measures(flow, sheet);
        draw_wishes(flow, sheet);
        draw_figures(flow);
        draw_bay(flow);
        draw_near(flow);
        draw_notes(flow);
    }
}

bool measuring_sheet_render(const json_t *document, struct label_pdf *pdf, struct fault *fault) {
    struct measuring_sheet sheet = {.unit = UNIT_MM};
    return read_sheet(document, &sheet, fault) && sheet_flow("measuring sheet", compose, &sheet, pdf, fault);
}
