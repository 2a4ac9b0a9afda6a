/* The take-off: from one surveyed window and the catalogue to every length, mark, part and caution.
 *
 * The document. Millimetres, from the left end of the finished track unless said otherwise; "?": may be null.
 *
 *   window, room, system, finish, control, draw, position, place, corded    as surveyed
 *   refused           true: a "refusal" is among the advice and it must not be made
 *   overall           end to end
 *   cut_total         what the saw must give in all
 *   run               what the curtains can travel
 *   midpoint          of the opening
 *   past_left, past_right    track past the opening (inside a recess: the gap, negative)
 *   height?, above?   of the fixing line above the floor; above the opening's upper edge (below it: negative)
 *   pieces            [{piece: 1, of: 2, side: "left", "middle", "right" or "whole", length}]
 *   splits            [{join, joins: [places], pieces: [lengths from the left], hanging: as below, with these joins}]:
 *                     every lawful way to join it that holds, the first being the one in "pieces"; join is the first
 *                     of joins; [] for a track in one piece. With another one taken only pieces, the kind of the
 *                     brackets, hanging and the order of this list change; the parts are the same.
 *   splits_capped     true: there are more lawful ways than these; they are the preferred one and others spread
 *                     evenly among all from left to right
 *   bends             [{from_left: where it begins, angle: inside, radius, length: along the neutral line}]
 *   brackets          [{from_left, from_midpoint: to the left negative, kind: "bracket" or "join"}]
 *   even              true: set out evenly from the midpoint
 *   fixing?           {substrate: what the screws go into, wall, screw, screws: each bracket, plug?, drill, depth,
 *                     pilot, note}
 *   parts             [{part, name, role, unit: "each" or "length", quantity: a whole number or mm, why}]
 *   cord?             {length, drop} of a corded track
 *   hanging?          {weight: g of curtains, track_weight: g, worst: place of the bracket that carries most,
 *                     reaction: N on it, states: [{state: "shut", "open", "left-open" or "right-open", bracket: the
 *                     worst then, reaction: N, moment: N mm, sag: mm}], bracket_use, screw_use, track_use,
 *                     bending_use, sag_use: percent of what is allowed, torque: N mm of twist in a bent track,
 *                     limit: {bracket: N, by}, invented}
 *   curtains          {weight: g, cloth_width, widths: of cloth in all, cloth: length to buy, each: [{side: "left",
 *                     "right" or "single", width, drop: finished, flat: width before gathering, cut_drop, widths: may
 *                     be half, hooks, overlap, return, weight: g}]}
 *   stack             {rule: by rule of thumb, left, right: as computed, daylight_lost}
 *   understood        [{field, given, length}]
 *   advice            [{code, severity: "note", "caution" or "refusal", where, message, remedy}]
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_TAKEOFF_H
#define ELLWAND_TAKEOFF_TAKEOFF_H

#include "takeoff/survey.h"

enum {
    TAKEOFF_MARKS = 128,
    TAKEOFF_PIECES = 5,
    TAKEOFF_SPLITS = 128,
    TAKEOFF_WAYS = 20000, /* lawful splits that are looked at, before the list is made of them */
    TAKEOFF_PARTS = 64,
    TAKEOFF_ADVICE = 64, /* more than can be given: SURVEY_NEAR and some forty others */
    TAKEOFF_BENDS = SURVEY_STRAIGHTS - 1,
    TAKEOFF_STATES = 4
};

enum severity { SEVERITY_NOTE, SEVERITY_CAUTION, SEVERITY_REFUSAL };

/* One bracket place; lengths are running dimensions, so what rounding does to one mark never reaches the
 * next. */
struct takeoff_mark {
    ell_length from_left, from_midpoint;
    bool join; /* of the split that was taken */
};
struct takeoff_part {
    size_t part;      /* index into catalogue.parts */
    int64_t quantity; /* pieces, or tenths of a millimetre for parts by length */
    char why[96];
};
struct takeoff_bend {
    ell_length start, length; /* where it begins from the left end, and its length along the neutral line */
    double angle;             /* inside, degrees */
};
/* One way in which the curtains may hang: the worst of the track then. */
struct takeoff_state {
    const char *state;            /* "shut", "open", "left-open", "right-open"; static */
    ell_length bracket;           /* place of the bracket that carries most */
    double reaction, moment, sag; /* N, N mm, mm */
};
struct takeoff_hanging {
    double weight, track_weight; /* g, of all curtains; of the track */
    ell_length worst;            /* place of the bracket that carries most in any state, */
    double reaction;             /* and what it carries, N */
    struct takeoff_state states[TAKEOFF_STATES];
    size_t state_count;
    double bracket_use, screw_use, track_use, bending_use,
        sag_use;          /* parts of what is allowed: 1 is all of it */
    double torque;        /* N mm, the greatest twisting moment of a bent track; 0 of a straight one */
    double limit;         /* N, the least of bracket, screws and track */
    const char *limit_by; /* borrowed from the catalogue, or static */
    bool invented;
};
struct takeoff_split {
    size_t piece_count;
    ell_length joins[TAKEOFF_PIECES - 1]; /* piece_count - 1 of them, from the left */
    ell_length pieces[TAKEOFF_PIECES];    /* cut lengths; they sum to cut_total */
    struct takeoff_hanging hanging;       /* the loads with these joins */
};
struct takeoff_curtain {
    const char *side; /* "left", "right" or "single"; static */
    ell_length width, drop, flat, cut_drop, overlap, back;
    int64_t half_widths, hooks; /* of cloth, in halves: two curtains may share a width */
    double weight;              /* g */
};
struct takeoff_advice {
    const char *code; /* static */
    enum severity severity;
    char where[48], message[256], remedy[200];
};

struct takeoff {
    const struct catalogue *catalogue; /* borrowed: it must outlive the take-off */
    const struct track_system *system;
    const struct fixing *fixing;
    size_t finish, wall, into; /* indices: finish; substrate of the wall; what the screws go into */
    struct survey survey;
    bool refused, even, splits_capped; /* capped: there are more lawful splits than are listed */
    int64_t ways;           /* lawful splits before their loads were looked at; TAKEOFF_WAYS: or more */
    int64_t twice_midpoint; /* exact; midpoint is its half, rounded towards the middle of the track */
    ell_length overall, cut_total, run, midpoint, past_left, past_right, height,
        above; /* height: or SURVEY_UNKNOWN */
    ell_length stack_rule, stack_left, stack_right, daylight_lost;
    ell_length cord_length, cord_drop; /* 0 when there is no cord */
    struct takeoff_bend bends[TAKEOFF_BENDS];
    struct takeoff_mark marks[TAKEOFF_MARKS];
    struct takeoff_split splits[TAKEOFF_SPLITS]; /* the first is taken; a single piece when split_count is 1
                                                    and splits[0].piece_count is 1 */
    struct takeoff_part parts[TAKEOFF_PARTS];
    struct takeoff_hanging hanging;
    struct takeoff_curtain curtains[2];
    int64_t cloth_widths; /* of all curtains */
    ell_length cloth, cloth_width;
    struct takeoff_advice advice[TAKEOFF_ADVICE];
    size_t bend_count, mark_count, split_count, part_count, curtain_count, advice_count;
};

/* Works a window out. True also when the answer is "this must not be made": then refused is set and the
 * advice says what gives way and what would help. The caller owns *takeoff (takeoff_free); it borrows from
 * the catalogue. False, *takeoff untouched: "unknown-system", "unknown-finish", "unknown-substrate",
 * "unknown-heading", "contradiction" (measures or wishes that cannot all be true), "check-measure" (a
 * likely slip of the unit: measure again, then either mend it or set measure_confirmed), "out-of-memory". */
bool takeoff_compute(const struct survey *survey, const struct catalogue *catalogue, struct takeoff **takeoff,
                     struct fault *fault) MUST_CHECK;
void takeoff_free(struct takeoff *takeoff);

/* The document above; the caller owns it. NULL when memory runs out. */
json_t *takeoff_document(const struct takeoff *takeoff) MUST_CHECK;

/* The take-off for a terminal of so many columns (22 to 202 are used): the track and its marks to scale,
 * pieces, marks, parts, loads and advice, worst first. The caller owns the text (free). NULL when memory
 * runs out. */
char *takeoff_text(const struct takeoff *takeoff, int columns) MUST_CHECK;

/* Survey document to take-off document in one call, for the one who takes orders: a refused window is a
 * fault here, with the refusal's code and its message and remedy. The caller owns the document. */
json_t *takeoff_run(const json_t *window, const char *path, const struct catalogue *catalogue,
                    struct fault *fault) MUST_CHECK;

#endif
