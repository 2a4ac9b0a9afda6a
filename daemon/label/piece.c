/* The label of a cut piece: the cut length before all else. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"

#include <inttypes.h>
#include <stdio.h>

enum side { SIDE_LEFT, SIDE_RIGHT, SIDE_MIDDLE, SIDE_WHOLE };
enum join { JOIN_NONE, JOIN_LEFT, JOIN_RIGHT, JOIN_BOTH };

struct piece {
    char code[CODE_TEXT], order[64], window[64], room[128], system[128], finish[96], batch[64], saw[64],
        due[11];
    ell_length length;
    enum label_unit unit;
    int64_t piece, of, plan, sequence, cut, reprint;
    int side, join_end;
};

static bool read_piece(const json_t *json, struct piece *piece, struct fault *fault) {
    static const char *const sides[] = {"left", "right", "middle", "whole", NULL};
    static const char *const joins[] = {"none", "left", "right", "both", NULL};
    struct form form;
    form_open(&form, json, "piece", fault);
    form_code(&form, CODE_PIECE, piece->code);
    form_text(&form, "order", piece->order, sizeof piece->order);
    form_text(&form, "window", piece->window, sizeof piece->window);
    form_text_or(&form, "room", piece->room, sizeof piece->room, "");
    form_text(&form, "system", piece->system, sizeof piece->system);
    form_text_or(&form, "finish", piece->finish, sizeof piece->finish, "");
    form_text_or(&form, "batch", piece->batch, sizeof piece->batch, "");
    form_text_or(&form, "saw", piece->saw, sizeof piece->saw, "");
    form_date_or(&form, "due", piece->due, "");
    piece->length = form_length(&form, "length", 1, 100000 * ELL_MM);
    piece->of = form_integer(&form, "of", 1, 99);
    piece->piece = form_integer(&form, "piece", 1, 99);
    piece->sequence = form_integer_or(&form, "sequence", 0, 99999, 0);
    piece->plan = form_integer_or(&form, "plan", 1, INT64_MAX, 0);
    piece->cut = form_integer_or(&form, "cut", 1, 999, 0);
    piece->unit = form_unit(&form);
    piece->reprint = form_integer_or(&form, "reprint", 0, 999, 0);
    piece->side = form_choice(&form, "side", sides);
    piece->join_end = form_choice_or(&form, "join_end", joins, JOIN_NONE);
    if (piece->piece > piece->of)
        form_wrong(&form, "piece", "out-of-range",
                   "Piece %" PRId64 " of %" PRId64 ": the first may not pass the second.", piece->piece,
                   piece->of);
    return form_close(&form);
}

static const char *tag_text(const struct piece *piece, char text[32]) {
    static const char *const names[] = {"LEFT", "RIGHT", "MIDDLE", "WHOLE"};
    if (piece->of == 1)
        snprintf(text, 32, "%s", names[piece->side]);
    else if (piece->side == SIDE_WHOLE)
        snprintf(text, 32, "%" PRId64 "/%" PRId64, piece->piece, piece->of);
    else
        snprintf(text, 32, "%s %" PRId64 "/%" PRId64, names[piece->side], piece->piece, piece->of);
    return text;
}

/* The profile seen from the front: a plain end is open, the end that meets the joining bracket is solid. */
static void draw_profile(struct page *page, struct area box, const struct piece *piece) {
    static const struct text_style word = {
        .most = 8, .least = LABEL_LEAST, .bold = true, .essential = true, .align = ALIGN_CENTRE};
    bool left = piece->join_end == JOIN_LEFT || piece->join_end == JOIN_BOTH;
    bool right = piece->join_end == JOIN_RIGHT || piece->join_end == JOIN_BOTH;
    double word_width = 9;
    if (left)
        page_text(page, area_left(&box, word_width), &word, "JOIN");
    if (right)
        page_text(page, area_right(&box, word_width), &word, "JOIN");
    double high = fmin(box.height, 2.2);
    struct area bar = {box.x, box.y + (box.height - high) / 2, box.width, high};
    page_frame(page, bar, 0.3);
    double solid = fmin(4, bar.width / 4);
    if (left)
        page_fill(page, area_left(&(struct area){bar.x, bar.y, bar.width, bar.height}, solid), 0);
    if (right)
        page_fill(page, area_right(&(struct area){bar.x, bar.y, bar.width, bar.height}, solid), 0);
}

/* Where it stands in the sawing order, as on the cut sheet: "14-2" is the second cut of bar 14. "" when not told. */
static const char *cut_text(const struct piece *piece, char text[48]) {
    text[0] = '\0';
    if (piece->sequence > 0 && piece->cut > 0)
        snprintf(text, 48, "%" PRId64 "-%" PRId64, piece->sequence, piece->cut);
    else if (piece->sequence > 0)
        snprintf(text, 48, "%" PRId64, piece->sequence);
    return text;
}

/* "BENCH plan 5", or less where less is told; "plan 5", which names one saw as well, where the whole is too wide. */
static const char *saw_text(struct page *page, const struct piece *piece, double width, char text[112]) {
    static const struct text_style least = {.most = LABEL_LEAST, .least = LABEL_LEAST};
    if (piece->plan > 0)
        snprintf(text, 112, "%s%splan %" PRId64, piece->saw, piece->saw[0] ? " " : "", piece->plan);
    else
        snprintf(text, 112, "%s", piece->saw);
    if (piece->plan > 0 && page_text_width(page, &least, text) > width)
        snprintf(text, 112, "plan %" PRId64, piece->plan);
    return text;
}

static void draw_saw(struct page *page, struct area column, const struct piece *piece) {
    static const struct text_style small = {.most = 9, .least = LABEL_LEAST, .align = ALIGN_CENTRE};
    static const struct text_style large = {
        .most = 20, .least = 8, .bold = true, .tight = true, .align = ALIGN_CENTRE, .essential = true};
    char cut[48], text[112];
    motif_reprint(page, &column, piece->reprint);
    if (cut_text(piece, cut)[0] == '\0' || column.height < 3)
        return;
    if (column.height < 7.5) {
        snprintf(text, sizeof text, "cut %s", cut);
        page_text(page, column,
                  &(struct text_style){.most = 11, .least = LABEL_LEAST, .bold = true, .align = ALIGN_CENTRE},
                  text);
        return;
    }
    double high = fmin(column.height, 12);
    struct area block = {column.x, column.y + (column.height - high) / 2, column.width, high};
    page_text(page, area_top(&block, 3.6), &small,
              saw_text(page, piece, block.width, text)[0] ? text : "cut");
    page_text(page, area_inset(block, 0, 0.6), &large, cut);
}

static void draw_block(struct page *page, struct area area, enum label_shape shape,
                       const struct piece *piece) {
    bool large = shape == SHAPE_LARGE;
    struct text_style head = {.most = large ? 15 : 11, .least = 7, .bold = true};
    struct text_style room = {.most = large ? 11 : 8.5, .least = 6.5, .bold = large};
    struct text_style fact = {.most = large ? 10 : 8, .least = LABEL_LEAST};
    char text[320], tag[32];
    struct area below, inside = label_inside(area);
    motif_symbol(page, &inside, shape, piece->code, &below);
    draw_saw(page, below, piece);
    struct area row = area_top(&inside, large ? 7 : inside.height * 0.19);
    motif_tag(page, &row, large ? 13 : 9, tag_text(piece, tag));
    page_text(page, row, &head, motif_join(text, sizeof text, piece->order, piece->window, NULL));
    area_top(&inside, large ? 1.5 : 0.6);
    motif_length(page, area_top(&inside, inside.height * (large ? 0.40 : 0.46)), piece->length, piece->unit,
                 96);
    area_top(&inside, large ? 1.5 : 0.6);
    draw_profile(page, area_top(&inside, large ? 4 : 2.8), piece);
    area_top(&inside, large ? 1 : 0.3);
    int rows = large ? 3 : inside.height >= 8.4 ? 3 : 2;
    double high = inside.height / rows;
    if (rows == 3) {
        page_text(page, area_top(&inside, high), &room, piece->room);
        page_text(page, area_top(&inside, high), &fact,
                  motif_join(text, sizeof text, piece->system, piece->finish, NULL));
    } else {
        page_text(page, area_top(&inside, high), &fact,
                  motif_join(text, sizeof text, piece->room, piece->system, piece->finish));
    }
    char due[24] = "";
    if (piece->due[0])
        snprintf(due, sizeof due, "due %s", piece->due);
    fact.align = ALIGN_RIGHT;
    page_text(page, area_right(&inside, inside.width * 0.5), &fact, due);
    fact.align = ALIGN_LEFT;
    if (piece->batch[0])
        page_print(page, inside, &fact, "batch %s", piece->batch);
}

static void draw_strip(struct page *page, struct area area, const struct piece *piece) {
    static const struct text_style head = {.most = 10, .least = LABEL_LEAST, .bold = true};
    static const struct text_style fact = {.most = 7.5, .least = LABEL_LEAST};
    static const char *const join_text[] = {"", "join left", "join right", "join both ends"};
    static const struct text_style mark = {
        .most = 7.5, .least = LABEL_LEAST, .bold = true, .essential = true};
    char text[320], tag[32], saw[176] = "", where[112], cut[48], reprint[32];
    struct area inside = label_inside(area);
    motif_symbol(page, &inside, SHAPE_STRIP, piece->code, NULL);
    area_left(&inside, 1);
    struct area figure = area_left(&inside, inside.width * (area.height > 10.5 ? 0.48 : 0.43));
    motif_length(page, figure, piece->length, piece->unit, 60);
    area_left(&inside, 1.6);
    bool three = inside.height > 8.5;
    double high = inside.height / (three ? 3 : 2);
    struct area row = area_top(&inside, high);
    motif_tag(page, three ? &row : &inside, 7.5, tag_text(piece, tag));
    page_text(page, row, &head, motif_join(text, sizeof text, piece->order, piece->window, NULL));
    if (three)
        page_text(page, area_top(&inside, high), &fact,
                  motif_join(text, sizeof text, piece->system, piece->finish, piece->batch));
    if (piece->reprint > 0) {
        motif_reprint_text(piece->reprint, reprint);
        page_text(page, area_left(&inside, page_text_width(page, &mark, reprint) + 1.5), &mark, reprint);
    }
    if (inside.width < 8)
        return;
    saw_text(page, piece, HUGE_VAL, where);
    if (cut_text(piece, cut)[0] != '\0')
        snprintf(saw, sizeof saw, "%s%scut %s", where, where[0] ? " " : "", cut);
    page_text(page, inside, &fact,
              motif_join(text, sizeof text, join_text[piece->join_end], saw, piece->room));
}

void piece_layout(struct page *page, struct area area, const json_t *payload, unsigned part,
                  unsigned *parts) {
    struct piece piece;
    (void)part;
    *parts = 1;
    if (!read_piece(payload, &piece, page->fault)) {
        page->failed = true;
        return;
    }
    enum label_shape shape = label_shape(area);
    if (shape == SHAPE_STRIP)
        draw_strip(page, area, &piece);
    else
        draw_block(page, area, shape, &piece);
}
