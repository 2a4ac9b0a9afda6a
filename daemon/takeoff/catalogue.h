/* The catalogue: what a workshop sells, and by which rules a window becomes a track. All of it is data; nothing of
 * it is a constant in the code. Lengths are tenths of a millimetre here and millimetres in the document.
 *
 * The document. "?": may be left out. Codes have 1 to 23 bytes and are unique within their table.
 *
 *   note?             text
 *   finishes          [{code, name}]
 *   substrates        [{code, name, batten?: it is a timber batten, judge?: a caution printed with it}]
 *   suppliers?        [{code, name, lead_days, least_order?: what an order must come to, in minor units}]
 *   headings          [{code, name, fold_depth, packing, hook_pitch, allowance}]; an open curtain folds into layers
 *                     fold_depth deep, each as wide as the cloth is thick times packing
 *   parts             [{code, name, unit: "each" or "length", role, price?, supplier?: code, rating?: N that it may
 *                     carry, invented?: the rating is, pack?: so many in a box as bought (of parts counted each),
 *                     reel?: whole mm on a reel as bought, from 100 mm to 10 km (of parts by length),
 *                     least?: so many (or mm) at least in an order, prices?: [{from: so many or mm, price}] for more,
 *                     mass?: g, bulk?: ml it takes in a bag (each, or a metre), batch_match?: it is seen, and all of
 *                     one kit must be of one finish batch,
 *                     needs?: [{part, quantity: to 100}] that come with each one, to a depth of 3,
 *                     substitutes?: [{part, when?: as of a rule, safety?}] that may stand in for it when it is short,
 *                     the first that is there; see catalogue_substitutes.c for what may}]
 *   systems           [{...}], below
 *   practice          {...}, see struct practice
 *   carriers?         [{code, name, longest?: side of a parcel, around?: that side and the girth together, heaviest?: g, wraps:
 *                     [{code, name, kind: "tube" or "box", length, width, height (of a box): inside, wall?: what
 *                     each side adds outside, mass?: g, price?: of wrap and carriage}]}]
 *   saws?             [{code, name, kerf, lead_trim, tail_clamp, longest_bar, shortest_piece, gang?: equal bars that it
 *                      holds and cuts at once, 1 to 20 (= 1)}]
 *   label_stocks?     [{code, name, width, height, dots_per_inch?, sheet?}], as label/stock.h has them
 *
 * A system:
 *
 *   code, name, note?
 *   corded            true or false
 *   finishes          [codes]
 *   bars              [{length, price, supplier?, pack?, least?, prices?}], as of parts
 *   longest_piece, shortest_piece, longest_track
 *   mass              g per metre
 *   wrapped?          width, height: the space one piece takes in a parcel; must be there when there are carriers
 *   allowances        side: track past the opening on each side; above: a face-fixed track above the opening;
 *                     above_least: at least so much; ceiling: clearance to click it in; recess: off a recess in
 *                     all; pulley: each end; end_part: what one end part takes off the profile; hook_drop: from the
 *                     fixing line down to the hook
 *   brackets          spacing_least, spacing_most; end_least, end_best, end_most: bracket to track end; bend_least,
 *                     bend_most: bracket to where a bend begins; mark_step: marks are multiples of it; even_extra?:
 *                     brackets more that an even setting-out may take before an uneven one is used
 *   joins             end_least, bend_least, meeting_least: join to track end, to a bend, to where two curtains meet;
 *                     extra?: brackets more that may be spent on finding a join before a further piece is made
 *   bends?            radius: to the neutral line; angle_least, angle_most: inside angle in degrees; allowance: added
 *                     for each bend; straight_least: between and beside bends; projection?: from the wall to the
 *                     neutral line. Without "bends" the system cannot be bent.
 *   profile           stiffness: E in N/mm2; inertia: mm4; section: mm3; stress_most: N/mm2; sag_part: the sag may be
 *                     the span divided by it; bracket_most: N that the track may put on one bracket; invented?
 *   gliders           pitch, spare, even?: equal numbers each side
 *   cord?             per_track, per_drop, extra: length = per_track x track + per_drop x drop + extra;
 *                     pulley_height: of the tension pulley above the floor. A corded system must have it.
 *   rules             [{part, per, quantity, when?}]
 *   fixings           [{substrate, position?: ["face", "top"], screw: part, screws: each bracket, plug?: part,
 *                     drill: diameter in mm, depth, pilot?, safe_load: N each screw, suits?: the kit's plugs suit as
 *                     a rule, invented?, note?}]
 *
 * A rule's "per": track, piece, end, join, mark (each bracket place), bracket (each place but the joins), metre
 * (begun), curtain, bend, glider, cord (the cord's length, for a part by length). Its "when" narrows it; each
 * condition that is named must hold: control, position, place, draw, substrate, finish: [words or codes]; from,
 * below: overall length.
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_CATALOGUE_H
#define ELLWAND_TAKEOFF_CATALOGUE_H

#include "common/fault.h"

#include <ellwand/length.h>
#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    CATALOGUE_CODE = 24, /* bytes of a code with its NUL */
    CATALOGUE_NAME = 80,
    CATALOGUE_NOTE = 240,
    CATALOGUE_SMALL = 64,  /* finishes, substrates: they are bits of a condition */
    CATALOGUE_MOST = 4000, /* rows of any other table */
    CATALOGUE_PACK = 1000000,
    CATALOGUE_REEL_LEAST = 100, /* mm */
    CATALOGUE_REEL_MOST = 10000000
};

enum control { CONTROL_HAND, CONTROL_CORD_LEFT, CONTROL_CORD_RIGHT };
enum position { POSITION_FACE, POSITION_TOP };
enum place { PLACE_OUTSIDE, PLACE_INSIDE };
/* Where the open curtains stand: one at each end, or a single one at the left or the right. */
enum draw { DRAW_PAIR, DRAW_LEFT, DRAW_RIGHT };
enum part_unit { UNIT_EACH, UNIT_LENGTH };
enum part_role {
    ROLE_BASE_BRACKET,
    ROLE_MOUNTING_BRACKET,
    ROLE_JOINING_BRACKET,
    ROLE_CONNECTOR,
    ROLE_GLIDER,
    ROLE_LEAD_GLIDER,
    ROLE_OVERLAP_ARM,
    ROLE_OVERLAP_SCREW,
    ROLE_OVERLAP_WASHER,
    ROLE_END_STOP,
    ROLE_PULLEY,
    ROLE_CORD,
    ROLE_TENSION_PULLEY,
    ROLE_TENSION_PULLEY_SCREW,
    ROLE_SCREW,
    ROLE_PLUG,
    ROLE_OTHER,
    ROLE_COUNT
};
enum rule_per {
    PER_TRACK,
    PER_PIECE,
    PER_END,
    PER_JOIN,
    PER_MARK,
    PER_BRACKET,
    PER_METRE,
    PER_CURTAIN,
    PER_BEND,
    PER_GLIDER,
    PER_CORD,
    PER_COUNT
};

/* The words of the documents, NULL-closed, in the order of the enumerations. */
extern const char *const control_words[],
    *const position_words[], *const place_words[], *const draw_words[], *const unit_words[],
                                                                            *const role_words[],
                                                                                *const per_words[];

struct named {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME];
};
struct substrate {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME], judge[CATALOGUE_NOTE];
    bool batten;
};
struct supplier {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME];
    int64_t lead_days, least_order;
};
/* An open curtain folds into layers `fold_depth` deep; each takes the cloth's thickness times `packing`. */
struct heading {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME];
    ell_length fold_depth, hook_pitch, allowance;
    double packing;
};
struct part_need {
    size_t part; /* index into catalogue.parts */
    int64_t quantity;
};
struct part_substitute;
struct part {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME], supplier[CATALOGUE_CODE];
    enum part_unit unit;
    enum part_role role;
    int64_t price;
    double rating; /* N; 0 when the part carries no load */
    bool invented, batch_match;
    double mass, bulk; /* g and ml, of one or of a metre; 0 when nobody weighed it */
    int64_t pack;      /* pieces in a box; 1 when it is bought one by one */
    struct part_need *needs;
    struct part_substitute *substitutes; /* in the order in which they are tried */
    size_t need_count, substitute_count;
};
struct bar {
    ell_length length;
    int64_t price;
};
/* A set bit lets that value through; 0 in `from`, ELL_LENGTH_MAX in `below` leave the length free. */
struct condition {
    uint64_t control, position, place, draw, substrate, finish;
    ell_length from, below;
};
struct part_substitute {
    size_t part; /* index into catalogue.parts */
    bool safety; /* the catalogue says so: it may stand in even for a tension pulley or its screws */
    struct condition when;
};
struct rule {
    size_t part;
    enum rule_per per;
    int64_t quantity; /* pieces, or for parts by length tenths of a millimetre (a factor for PER_CORD) */
    struct condition when;
};
struct fixing {
    size_t substrate, screw, plug; /* plug: SIZE_MAX when none */
    uint64_t position;
    int64_t screws;
    double drill; /* mm */
    ell_length depth;
    bool pilot, suits, invented;
    double safe_load; /* N each screw */
    char note[CATALOGUE_NOTE];
};
struct system_allowances {
    ell_length side, above, above_least, ceiling, recess, pulley, end_part, hook_drop;
};
struct system_brackets {
    ell_length spacing_least, spacing_most, end_least, end_best, end_most, bend_least, bend_most, mark_step;
    int64_t even_extra;
};
struct system_joins {
    ell_length end_least, bend_least, meeting_least;
    int64_t extra;
};
struct system_bends {
    bool possible;
    ell_length radius, allowance, straight_least, projection;
    double angle_least, angle_most; /* degrees, inside */
};
struct system_profile {
    double stiffness, inertia, section, stress_most, sag_part, bracket_most;
    bool invented;
};
struct system_gliders {
    ell_length pitch;
    int64_t spare;
    bool even;
};
struct system_cord {
    int64_t per_track, per_drop;
    ell_length extra, pulley_height;
};
/* A tube (round: width is its diameter) or a box; measures are inside. */
struct wrap {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME];
    bool round;
    ell_length length, width, height, wall;
    int64_t mass, price; /* g, minor units */
};
/* 0: no bound. */
struct carrier {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME];
    ell_length longest, around;
    int64_t heaviest; /* g */
    struct wrap *wraps;
    size_t wrap_count;
};
struct track_system {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME], note[CATALOGUE_NOTE];
    bool corded;
    uint64_t finishes; /* bits of catalogue.finishes */
    struct bar *bars;
    size_t bar_count;
    ell_length longest_piece, shortest_piece, longest_track;
    double mass; /* g per metre */
    ell_length wrapped_width, wrapped_height;
    struct system_allowances allowances;
    struct system_brackets brackets;
    struct system_joins joins;
    struct system_bends bends;
    struct system_profile profile;
    struct system_gliders gliders;
    struct system_cord cord;
    struct rule *rules;
    size_t rule_count;
    struct fixing *fixings;
    size_t fixing_count;
};
struct saw {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME];
    ell_length kerf, lead_trim, tail_clamp, longest_bar, shortest_piece;
    int64_t gang; /* equal bars that it holds and cuts at once; 1: one by one */
};
struct label_stock {
    char code[CATALOGUE_CODE], name[CATALOGUE_NAME];
    ell_length width, height;
};
/* What a measure is expected to be; outside it is asked back as a likely slip of the unit. */
struct span {
    ell_length least, most;
};
/* The workshop's own rules, in the document under these names; width, height, drop and room are {least,
 * most}. */
struct practice {
    struct span width, height, drop;
    struct span room;           /* floor to ceiling; may be left out */
    ell_length recess_spread;   /* so much may the three widths of a recess differ */
    ell_length two_person_from; /* overall length */
    ell_length ladder_from;     /* height of the fixing line */
    ell_length child_height;    /* a cord that ends below it is in a child's reach */
    ell_length cord_reach;      /* a cord that ends above it is out of everybody's */
    ell_length cloth_width;     /* these three when the survey names none */
    ell_length cloth_thickness; /* all layers */
    ell_length overlap, hem;    /* may be left out: 0 */
    ell_length side_hem;        /* each side of a curtain */
    ell_length heater_gap;      /* curtain to heater, and hole to pipe or cable */
    double service[3]; /* wanted share of lead times without a shortage, of what is of class A, B and C by the
                                   value used; may be left out: 0 */
};

struct catalogue {
    char note[CATALOGUE_NOTE];
    struct named *finishes;
    struct substrate *substrates;
    struct supplier *suppliers;
    struct heading *headings;
    struct part *parts;
    struct track_system *systems;
    struct carrier *carriers;
    struct saw *saws;
    struct label_stock *label_stocks;
    size_t finish_count, substrate_count, supplier_count, heading_count, part_count, system_count,
        carrier_count, saw_count, label_stock_count;
    struct practice practice;
};

/* Reads and checks the whole document. The caller owns the catalogue (catalogue_free). NULL and a fault
 * whose `where` names table and row ("systems[2].rules[5].part") when anything in it is wrong: a shape or
 * bound, "twice-named", "unknown-part" (or -finish, -substrate, -supplier), "circular-part", "wrong-substitute",
 * "overlapping-rules", "no-tension-pulley" (a corded system must always give one with its
 * screws), "missing-part" (a window's kit would lack brackets, a joining bracket or gliders),
 * "out-of-range". */
struct catalogue *catalogue_read(const json_t *json, struct fault *fault) MUST_CHECK;

/* Frees it and all that it holds; NULL is allowed. */
void catalogue_free(struct catalogue *catalogue);

/* Borrowed from the catalogue; NULL when no row has the code. */
const struct track_system *catalogue_system(const struct catalogue *catalogue, const char *code);
const struct heading *catalogue_heading(const struct catalogue *catalogue, const char *code);
/* Index, or SIZE_MAX when no row has the code. */
size_t catalogue_finish(const struct catalogue *catalogue, const char *code);
size_t catalogue_substrate(const struct catalogue *catalogue, const char *code);
size_t catalogue_part(const struct catalogue *catalogue, const char *code);

#endif
