/* Inside the room: what a fitting sheet shows of one window, read from its survey and take-off documents.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_LABEL_FITTING_H
#define ELLWAND_LABEL_FITTING_H

#include "common/document.h"
#include "label/code.h"
#include "label/flow.h"
#include "label/units.h"

enum {
    FITTING_MARKS = 128,
    FITTING_PIECES = 8,
    FITTING_PARTS = 64,
    FITTING_ADVICE = 64,
    FITTING_BENDS = 12,
    FITTING_NEAR = 16
};

enum fitting_control { CONTROL_HAND, CONTROL_CORD_LEFT, CONTROL_CORD_RIGHT };

/* A length that nobody measured. */
#define FITTING_UNKNOWN (-ELL_LENGTH_MAX)

struct fitting_mark {
    ell_length from_left, from_midpoint;
    bool join;
};
struct fitting_part {
    char name[96], quantity[32], role[48];
};
struct fitting_advice {
    char code[48], message[256], remedy[200];
    int severity; /* 0 note, 1 caution, 2 refusal */
};
struct fitting_near {
    char what[24];
    ell_length from_left, width, from_floor, height;
};
struct fitting {
    char code[CODE_TEXT], window[64], room[128], system[64], finish[64], control_word[24], draw[24];
    enum fitting_control control;
    enum label_unit unit; /* what lengths are shown in */
    bool top, inside, corded, refused, even;
    bool join_open; /* a cutting plan may still join it at another bracket */
    ell_length overall, midpoint, past_left, past_right, above,
        height; /* height of the fixing line, or unknown */
    ell_length opening_height, floor, ceiling, cord_drop, cord_length;
    struct fitting_mark marks[FITTING_MARKS];
    ell_length pieces[FITTING_PIECES], joins[FITTING_PIECES];
    struct {
        ell_length from_left, length, radius;
        double angle;
    } bends[FITTING_BENDS];
    struct fitting_part parts[FITTING_PARTS];
    struct fitting_advice advice[FITTING_ADVICE];
    struct fitting_near near[FITTING_NEAR];
    size_t mark_count, piece_count, join_count, bend_count, part_count, advice_count, near_count;
    char wall[64], screw[64], plug[64], note[200];
    double drill;
    ell_length depth;
    int64_t screws;
    bool pilot;
    double weight, worst_use; /* g; percent of what is allowed, 0 when not told */
};

/* Reads {code?, survey, takeoff, join_open?}; `path` names it, its lengths are to be shown in `unit`. False and fault
 * otherwise. */
bool fitting_read(const json_t *json, const char *path, enum label_unit unit, struct fitting *fitting,
                  struct fault *fault) MUST_CHECK;

/* A length in the unit of the sheet, without and with its name. Each returns `text`. */
char *fitting_figure(const struct fitting *fitting, ell_length length, char text[ELL_LENGTH_TEXT]);
char *fitting_length(const struct fitting *fitting, ell_length length, char text[UNIT_TEXT]);

/* The first part of this role in the list, NULL when there is none. */
const struct fitting_part *fitting_part_of(const struct fitting *fitting, const char *role);
bool fitting_has(const struct fitting *fitting, const char *role);

/* The track from the front with every mark in running dimensions, over the whole width of `box`, which
 * should be fitting_marks_height high. */
void fitting_draw_marks(struct page *page, struct area box, const struct fitting *fitting);
double fitting_marks_height(double width, const struct fitting *fitting);
/* Opening, track, cord and heights to one scale. */
void fitting_draw_elevation(struct page *page, struct area box, const struct fitting *fitting);
/* A bay from above, to scale. */
void fitting_draw_plan(struct page *page, struct area box, const struct fitting *fitting);

/* A strip of small pictures: measuring, clicking in, and of corded tracks the tension pulley. */
void fitting_draw_pictures(struct flow *flow, const struct fitting *fitting);

/* A dimension line with its figure on it, from x1 to x2 at height y. */
void draw_across(struct page *page, double x1, double x2, double y, const char *text);
/* The same upright, from y1 to y2. */
void draw_upright(struct page *page, double x, double y1, double y2, const char *text);

#endif
