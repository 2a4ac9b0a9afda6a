/* The label of a kit: whose it is, what goes in, where that lies, and what to beware of. A kit with more
 * parts than one label holds takes several. SPDX-License-Identifier: Apache-2.0 */
#include "label/kinds.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { KIT_PARTS = 200, KIT_CAUTIONS = 8 };

static const char cord_caution[] =
    "Cord loop: a small child can strangle in it. Fit the tension pulley, with its own screws, "
    "before anyone uses the track. Local law comes first.";
static const char cord_caution_short[] = "Cord loop: danger to children. Fit the tension pulley.";

struct kit {
    char code[CODE_TEXT], order[64], window[64], room[128], system[128], finish[96], due[11];
    int64_t reprint;
    bool corded;
    size_t part_count, caution_count;
    struct {
        char name[128], bin[48], quantity[24];
    } parts[KIT_PARTS];
    char cautions[KIT_CAUTIONS][256];
};

static void read_part(const json_t *json, const char *path, struct kit *kit, struct form *whole) {
    static const char *const units[] = {"each", "length", NULL};
    struct form form;
    size_t at = kit->part_count++;
    if (whole->failed)
        return;
    form_open(&form, json, path, whole->fault);
    form_text(&form, "name", kit->parts[at].name, sizeof kit->parts[at].name);
    form_text_or(&form, "bin", kit->parts[at].bin, sizeof kit->parts[at].bin, "");
    if (form_choice_or(&form, "unit", units, 0) == 0) {
        snprintf(kit->parts[at].quantity, sizeof kit->parts[at].quantity, "%" PRId64,
                 form_integer(&form, "quantity", 1, 1000000));
    } else {
        char text[ELL_LENGTH_TEXT];
        ell_length_text(form_length(&form, "quantity", 1, 1000000 * ELL_MM), text);
        snprintf(kit->parts[at].quantity, sizeof kit->parts[at].quantity, "%.12s mm", text);
    }
    whole->failed = !form_close(&form);
}

static void read_cautions(const json_t *list, struct kit *kit, struct form *form) {
    size_t index;
    json_t *caution;
    json_array_foreach(list, index, caution) {
        const char *text = json_string_value(caution);
        if (text == NULL || strlen(text) >= sizeof kit->cautions[0] || text[0] == '\0')
            form_wrong(form, "cautions", "bad-text", "A caution is a text of 1 to 255 bytes.");
        else
            snprintf(kit->cautions[kit->caution_count++], sizeof kit->cautions[0], "%s", text);
    }
}

static bool read_kit(const json_t *json, struct kit *kit, struct fault *fault) {
    struct form form;
    char path[128];
    kit->part_count = kit->caution_count = 0;
    form_open(&form, json, "kit", fault);
    form_code(&form, CODE_KIT, kit->code);
    form_text(&form, "order", kit->order, sizeof kit->order);
    form_text(&form, "window", kit->window, sizeof kit->window);
    form_text_or(&form, "room", kit->room, sizeof kit->room, "");
    form_text(&form, "system", kit->system, sizeof kit->system);
    form_text_or(&form, "finish", kit->finish, sizeof kit->finish, "");
    form_date_or(&form, "due", kit->due, "");
    kit->reprint = form_integer_or(&form, "reprint", 0, 999, 0);
    kit->corded = form_boolean_or(&form, "corded", false);
    const json_t *parts = form_array(&form, "parts", 0, KIT_PARTS);
    const json_t *cautions = form_array(&form, "cautions", 0, KIT_CAUTIONS);
    size_t index;
    json_t *part;
    if (form.failed)
        return false;
    json_array_foreach(parts, index, part)
        read_part(part, form_below(&form, "parts", (long)index, path), kit, &form);
    read_cautions(cautions, kit, &form);
    return form_close(&form);
}

/* How the parts stand on a label: columns of rows of one height and letter size. */
struct table {
    int columns, rows;
    double points;
};

static size_t table_holds(struct table table) {
    return (size_t)table.rows * (size_t)table.columns;
}

enum { TABLE_GAP = 3 };

/* The room of a quantity: short, or a length with its unit. */
static double quantity_width(const struct kit *kit, size_t at) {
    return strlen(kit->parts[at].quantity) > 4 ? 17 : 8;
}

/* Whether the names of all parts stand whole in a column so wide, in letters near the least. */
static bool names_fit(struct page *page, double width, const struct kit *kit) {
    static const struct text_style name = {.most = 6.5}, bin = {.most = 6.5, .bold = true};
    for (size_t i = 0; i < kit->part_count; i++)
        if (quantity_width(kit, i) + 3 + page_text_width(page, &name, kit->parts[i].name) +
                page_text_width(page, &bin, kit->parts[i].bin) >
            width)
            return false;
    return true;
}

/* The fewest columns and the largest letters that hold `count` parts; the most that fit at the least size
 * otherwise. */
static struct table plan_table(struct page *page, struct area box, const struct kit *kit, bool large) {
    struct table table = {1, 0, 0};
    size_t count = kit->part_count;
    int most_columns = box.width >= 74 && names_fit(page, (box.width - TABLE_GAP) / 2, kit) ? 2 : 1;
    for (int half_points = large ? 20 : 16; half_points >= 13; half_points--)
        for (table.columns = 1; table.columns <= most_columns; table.columns++) {
            table.points = half_points / 2.0;
            table.rows = (int)(box.height / (table.points * 0.42));
            if (table_holds(table) >= count)
                return table;
        }
    table.columns = most_columns;
    return table;
}

static void draw_part(struct page *page, struct area row, double points, const struct kit *kit, size_t at) {
    struct text_style quantity = {
        .most = points, .least = LABEL_LEAST, .bold = true, .essential = true, .align = ALIGN_RIGHT};
    struct text_style name = {.most = points, .least = LABEL_LEAST};
    struct text_style bin = {.most = points, .least = LABEL_LEAST, .bold = true, .align = ALIGN_RIGHT};
    page_text(page, area_left(&row, quantity_width(kit, at)), &quantity, kit->parts[at].quantity);
    area_left(&row, 1.5);
    double width = page_text_width(page, &bin, kit->parts[at].bin);
    page_text(page, area_right(&row, fmin(width + 0.3, row.width * 0.4)), &bin, kit->parts[at].bin);
    area_right(&row, 1);
    page_text(page, row, &name, kit->parts[at].name);
}

static size_t draw_table(struct page *page, struct area box, struct table table, const struct kit *kit,
                         size_t from) {
    double gap = TABLE_GAP, width = (box.width - gap * (table.columns - 1)) / table.columns;
    double high = fmin(box.height / table.rows, table.points * 0.56);
    size_t at = from;
    for (int column = 0; column < table.columns; column++) {
        for (int i = 0; i < table.rows && at < kit->part_count; i++, at++) {
            struct area row = {box.x + column * (width + gap), box.y + i * high, width, high};
            draw_part(page, row, table.points, kit, at);
            page_line(page, row.x, row.y + high, row.x + width, row.y + high, 0.1, 0);
        }
    }
    return at;
}

/* One caution takes two lines, or one where it is short. */
static double caution_height(struct page *page, double width, enum label_shape shape, const char *text) {
    bool large = shape == SHAPE_LARGE;
    struct text_style style = {.most = large ? 8.5 : 7.5, .bold = true};
    bool one_line = page_text_width(page, &style, text) < width - (large ? 8 : 6.5);
    return large ? (one_line ? 5 : 7.5) : one_line ? 4 : 5.6;
}

static const char *caution_of(const struct kit *kit, size_t at, enum label_shape shape) {
    if (at < kit->corded)
        return shape == SHAPE_LARGE ? cord_caution : cord_caution_short;
    return kit->cautions[at - kit->corded];
}

/* As many cautions as a third of the label holds, the cord's always; the others stand on the fitting sheet too. Returns
 * their height and sets *count. */
static double plan_cautions(struct page *page, struct area inside, enum label_shape shape,
                            const struct kit *kit, size_t *count) {
    double used = 0;
    for (*count = 0; *count < kit->caution_count + kit->corded; ++*count) {
        double more = caution_height(page, inside.width, shape, caution_of(kit, *count, shape));
        if (*count > 0 && used + more > inside.height * 0.37)
            break;
        used += more;
    }
    return used;
}

static void draw_cautions(struct page *page, struct area box, enum label_shape shape, const struct kit *kit,
                          size_t count) {
    for (size_t i = 0; i < count; i++) {
        const char *text = caution_of(kit, i, shape);
        struct area line = area_top(&box, caution_height(page, box.width, shape, text));
        motif_caution(page, area_inset(line, 0, 0.2), text, shape == SHAPE_LARGE ? 8.5 : 7.5);
    }
}

static void draw_head(struct page *page, struct area row, bool large, const struct kit *kit, unsigned part,
                      unsigned parts) {
    struct text_style head = {.most = large ? 22 : 14, .least = 8, .bold = true};
    char text[160], tag[32] = "KIT";
    if (parts > 1)
        snprintf(tag, sizeof tag, "KIT %u/%u", part + 1, parts);
    motif_tag(page, &row, large ? 13 : 9, tag);
    page_text(page, row, &head, motif_join(text, sizeof text, kit->order, kit->window, NULL));
}

/* The first label: head, cautions, parts. Returns the table's box; draws nothing when `draw` is false. */
static struct area first_label(struct page *page, struct area inside, enum label_shape shape,
                               const struct kit *kit, unsigned parts, bool draw) {
    bool large = shape == SHAPE_LARGE;
    char text[320], due[24] = "";
    struct text_style fact = {.most = large ? 9.5 : 8, .least = LABEL_LEAST};
    size_t count;
    double high = plan_cautions(page, inside, shape, kit, &count);
    struct area cautions = area_bottom(&inside, high), below;
    struct area head = area_top(&inside, large ? 20 : 11);
    struct area table = inside;
    area_top(&table, 0.6);
    if (!draw)
        return table;
    draw_cautions(page, cautions, shape, kit, count);
    struct area block = {head.x, head.y, head.width, head.height};
    double side = fmin(head.height, 18) + 2;
    below = (struct area){head.x - 2, head.y - 2, side, side};
    struct area symbol = page_symbol(page, below, SYMBOL_DATA_MATRIX, kit->code);
    block.x = symbol.x + symbol.width + 1;
    block.width = head.x + head.width - block.x;
    if (kit->due[0])
        snprintf(due, sizeof due, "due %s", kit->due);
    draw_head(page, area_top(&block, large ? 8 : 4.8), large, kit, 0, parts);
    area_top(&block, 0.4);
    high = block.height / (large ? 3 : 2);
    struct text_style code = {
        .most = large ? 9 : 7, .least = LABEL_LEAST, .essential = true, .align = ALIGN_RIGHT};
    struct text_style mark = {
        .most = large ? 9 : 7, .least = LABEL_LEAST, .bold = true, .essential = true, .align = ALIGN_RIGHT};
    struct area row = area_top(&block, high);
    page_text(page, area_right(&row, large ? 24 : 17), &code, kit->code);
    page_text(page, row, &(struct text_style){.most = large ? 11 : 8.5, .least = LABEL_LEAST, .bold = true},
              kit->room);
    row = area_top(&block, high);
    if (kit->reprint > 0)
        page_print(page, area_right(&row, large ? 24 : 17), &mark, "reprint %" PRId64, kit->reprint);
    page_text(page, row, &fact, motif_join(text, sizeof text, kit->system, kit->finish, large ? NULL : due));
    if (large)
        page_text(page, block, &fact, due);
    return table;
}

static struct area next_label(struct page *page, struct area inside, bool large, const struct kit *kit,
                              unsigned part, unsigned parts, bool draw) {
    struct text_style code = {.most = large ? 9 : 7, .least = LABEL_LEAST, .essential = true};
    struct area head = area_top(&inside, large ? 14 : 9);
    area_top(&inside, 0.6);
    if (!draw)
        return inside;
    struct area box = {head.x - 2, head.y - 2, head.height + 2, head.height + 2};
    struct area symbol = page_symbol(page, box, SYMBOL_DATA_MATRIX, kit->code);
    head.width += head.x - (symbol.x + symbol.width + 1);
    head.x = symbol.x + symbol.width + 1;
    draw_head(page, area_top(&head, large ? 8 : 4.8), large, kit, part, parts);
    if (kit->reprint > 0)
        page_print(page, area_top(&head, 4), &code, "%s · reprint %" PRId64, kit->code, kit->reprint);
    else
        page_text(page, area_top(&head, 4), &code, kit->code);
    return inside;
}

static void draw_kit(struct page *page, struct area area, const struct kit *kit, unsigned part,
                     unsigned *parts) {
    enum label_shape shape = label_shape(area);
    bool large = shape == SHAPE_LARGE;
    struct area inside = label_inside(area);
    struct area box = first_label(page, inside, shape, kit, 1, false);
    struct table table = plan_table(page, box, kit, large);
    size_t held = table_holds(table);
    if (held >= kit->part_count) {
        *parts = 1;
        first_label(page, inside, shape, kit, 1, true);
        draw_table(page, box, table, kit, 0);
        return;
    }
    struct area later = next_label(page, inside, large, kit, 1, 2, false);
    struct table rest = plan_table(page, later, kit, large);
    size_t more = table_holds(rest);
    if (more == 0) {
        page_fail(page, "label-too-small",
                  "A kit label with its parts does not fit this stock; take a larger label stock.");
        return;
    }
    *parts = 1 + (unsigned)((kit->part_count - held + more - 1) / more);
    if (part == 0) {
        first_label(page, inside, shape, kit, *parts, true);
        draw_table(page, box, table, kit, 0);
    } else {
        next_label(page, inside, large, kit, part, *parts, true);
        draw_table(page, later, rest, kit, held + (part - 1) * more);
    }
}

/* A strip has no room for parts: whose it is, and the short caution. */
static void draw_strip(struct page *page, struct area area, const struct kit *kit) {
    static const struct text_style head = {.most = 20, .least = LABEL_LEAST, .bold = true};
    static const struct text_style fact = {.most = 8, .least = LABEL_LEAST};
    char text[320], reprint[32];
    struct area inside = label_inside(area);
    motif_symbol(page, &inside, SHAPE_STRIP, kit->code, NULL);
    area_left(&inside, 1);
    struct area row = area_top(&inside, kit->corded ? inside.height - 5.2 : inside.height * 0.55);
    motif_tag(page, &row, 9,
              motif_join(text, sizeof text, "KIT", motif_reprint_text(kit->reprint, reprint), NULL));
    page_text(page, row, &head, motif_join(text, sizeof text, kit->order, kit->window, NULL));
    if (kit->corded) {
        motif_caution(page, inside, cord_caution_short, 7);
        return;
    }
    page_text(page, inside, &fact, motif_join(text, sizeof text, kit->room, kit->system, NULL));
}

void kit_layout(struct page *page, struct area area, const json_t *payload, unsigned part, unsigned *parts) {
    struct kit kit;
    *parts = 1;
    if (!read_kit(payload, &kit, page->fault))
        page->failed = true;
    else if (label_shape(area) == SHAPE_STRIP)
        draw_strip(page, area, &kit);
    else
        draw_kit(page, area, &kit, part, parts);
}
