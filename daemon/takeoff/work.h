/* What the steps of a take-off hand to each other. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_WORK_H
#define ELLWAND_TAKEOFF_WORK_H

#include "takeoff/takeoff.h"

static inline ell_length length_least(ell_length a, ell_length b) {
    return a < b ? a : b;
}
static inline ell_length length_most(ell_length a, ell_length b) {
    return a > b ? a : b;
}
/* a / b for b > 0, towards minus and plus infinity, and to the nearest with halves away from zero. */
static inline int64_t divide_down(int64_t a, int64_t b) {
    return a / b - (a % b != 0 && a < 0);
}
static inline int64_t divide_up(int64_t a, int64_t b) {
    return a / b + (a % b != 0 && a > 0);
}
static inline int64_t divide_near(int64_t a, int64_t b) {
    return a < 0 ? -((-a * 2 + b) / (2 * b)) : (a * 2 + b) / (2 * b);
}

/* Half of `twice`, rounded towards the middle of a track so long: the mirror image rounds to the mirror
 * image. */
static inline ell_length inward_half(int64_t twice, ell_length overall) {
    return twice < overall ? divide_up(twice, 2) : divide_down(twice, 2);
}

/* Adds one advice; a refusal marks the take-off as refused. When the list is full only refusals still come
 * in. */
void advise(struct takeoff *takeoff, const char *code, enum severity severity, const char *where,
            const char *remedy, const char *message, ...) PRINTF_LIKE(6, 7);

/* Fills `fault` with the survey field's whole place and returns false. */
bool wrong_field(const struct takeoff *takeoff, const char *field, const char *code, struct fault *fault,
                 const char *message, ...) PRINTF_LIKE(5, 6);

/* True when a rule's condition holds for this window and overall length. */
bool condition_holds(const struct condition *when, const struct takeoff *takeoff);

/* What one end of a track takes up beyond the run: a pulley, or nothing. */
ell_length end_allowance(const struct takeoff *takeoff);

/* A straight stretch on which brackets stand: all of a straight track, or what lies between two bends. */
struct leg {
    ell_length start, end;
    int64_t twice_midpoint; /* exact where the midpoint lies between two tenths */
    ell_length midpoint;    /* the nearest tenth, towards the middle of the track */
    struct end_limits {
        ell_length least, best, most; /* bracket to the leg's end */
    } first, last;
    int64_t count;     /* of brackets */
    bool even;         /* they are set out evenly from the midpoint */
    ell_length widest; /* between two of them */
};
enum { LEGS = SURVEY_STRAIGHTS };

/* The stretches of this track, with no brackets yet. Returns how many. */
size_t legs_open(const struct takeoff *takeoff, struct leg legs[LEGS]);
/* Places the least number of brackets from `count` on that can lawfully stand: evenly from the midpoint or,
 * where that would take more than the system's even_extra above what is needed, evenly between the ends.
 * False when no number from there on fits, or more than `most` would be needed; *leg and places are then as
 * they were. places: the leg's marks from the left, room for TAKEOFF_MARKS. */
bool leg_place(const struct takeoff *takeoff, struct leg *leg, int64_t count, int64_t most,
               ell_length *places);

/* The least number of pieces that the longest piece allows. */
size_t splits_least(const struct takeoff *takeoff);
/* Every lawful split of the track as marked into so many pieces (TAKEOFF_PIECES at most); the preferred one
 * first, the others from left to right. False when there is none. */
bool splits_find(struct takeoff *takeoff, size_t pieces);

/* What one bracket may carry, from the rules that hold for this window. */
struct capacity {
    double bracket, join, screws, track; /* N */
    const char *bracket_part, *join_part;
    bool invented;
};
void capacity_find(const struct takeoff *takeoff, struct capacity *capacity);
/* The uses of brackets, screws and track with the joins of `split`, curtains shut and open. True when all
 * hold; over is set to true for each mark whose bracket does not, and otherwise left as it is. */
bool hanging_check(const struct takeoff *takeoff, const struct capacity *capacity,
                   const struct takeoff_split *split, struct takeoff_hanging *hanging,
                   bool over[TAKEOFF_MARKS]);
/* Says what gives way, by how much, and what would help. */
void hanging_refuse(struct takeoff *takeoff, const struct capacity *capacity);

/* The steps, in this order; each fills its part of the take-off and only reads what earlier ones filled. */
bool step_measure(struct takeoff *takeoff, struct fault *fault) MUST_CHECK;
bool step_bay(struct takeoff *takeoff,
              struct fault *fault) MUST_CHECK; /* the part of step_measure that bends */
bool step_curtains(struct takeoff *takeoff, struct fault *fault) MUST_CHECK;
void step_set_out(struct takeoff *takeoff);
void step_parts(struct takeoff *takeoff);
void step_advice(struct takeoff *takeoff);

#endif
