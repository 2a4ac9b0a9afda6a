/* The survey of one window: what was measured there and what is wanted. It knows no catalogue: codes stay text here.
 *
 * The document is one item of an order's "windows". "?": may be left out. Lengths are millimetres, or texts with a
 * unit ("183 cm", "72 1/2 in"); what was understood of such texts is kept and shown.
 *
 *   window, room?, notes?
 *   position          "face" (on the wall) or "top" (up into ceiling or recess)
 *   place             "outside" or "inside" the recess
 *   width             of the opening, outside; or
 *   widths            [at the top, in the middle, at the bottom], inside; or
 *   bay               {straights: [2 to 9 lengths along the wall, corner to corner; the first begins and the last ends
 *                     where the track shall], angles: [inside angle of each corner, degrees]}, outside
 *   height            of the opening
 *   ceiling?, floor?  from its upper edge up to the ceiling; from its lower edge down to the floor
 *   wall_left?, wall_right?    free wall beside it
 *   substrate         code of the wall or ceiling
 *   batten?           true: a timber batten is fixed first and carries the track
 *   control           "hand", "cord-left" or "cord-right"
 *   draw              "pair", "left" or "right": where the open curtains stand
 *   system, finish    codes
 *   carrier_longest?  what a carrier or the stairs take
 *   children?         false when children are never in the room; true when not given
 *   cord_drop?        from track to tension pulley
 *   curtain           {drop, or reach: "floor" or "sill"; clearance?: above floor or sill (below it: negative);
 *                     fullness: flat width / track width; heading: code; face, lining?, interlining?: g/m2;
 *                     thickness?: of all layers; hem?, heading_allowance?, overlap?, return?, cloth_width?,
 *                     pattern_repeat?}
 *   near?             [{what: "socket", "switch", "radiator", "heater", "pipe" or "cable"; from_left: from the
 *                     opening's left edge (left of it: negative); width; from_floor; height}]
 *   measure_confirmed?    true: an unusual measure was measured again and is right
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_SURVEY_H
#define ELLWAND_TAKEOFF_SURVEY_H

#include "takeoff/catalogue.h"

enum { SURVEY_NEAR = 16, SURVEY_STRAIGHTS = 9, SURVEY_READINGS = 32, SURVEY_NOTES = 400 };

/* A length that was not measured. */
#define SURVEY_UNKNOWN (-ELL_LENGTH_MAX)

enum near_what { NEAR_SOCKET, NEAR_SWITCH, NEAR_RADIATOR, NEAR_HEATER, NEAR_PIPE, NEAR_CABLE };
enum curtain_reach { REACH_DROP, REACH_FLOOR, REACH_SILL };
extern const char *const near_words[];

struct survey_near {
    enum near_what what;
    ell_length from_left, width, from_floor, height;
};
struct survey_curtain {
    enum curtain_reach reach;
    ell_length drop; /* when reach is REACH_DROP */
    ell_length clearance;
    char heading[CATALOGUE_CODE];
    double fullness, face, lining, interlining; /* g/m2 */
    ell_length thickness, hem, heading_allowance, overlap, back, cloth_width,
        pattern_repeat; /* or SURVEY_UNKNOWN */
};
/* A length that came with a unit. */
struct survey_reading {
    char field[32], given[32];
    ell_length length;
};
struct survey {
    char path[96]; /* of the window in its document, for faults */
    char window[CATALOGUE_CODE], room[CATALOGUE_NAME], notes[SURVEY_NOTES];
    enum position position;
    enum place place;
    enum control control;
    enum draw draw;
    ell_length widths[3], width; /* width: the smallest of the three; a bay's is the sum of its straights */
    ell_length height, ceiling, floor, wall_left, wall_right; /* the last four may be SURVEY_UNKNOWN */
    char substrate[CATALOGUE_CODE], system[CATALOGUE_CODE], finish[CATALOGUE_CODE];
    bool batten, children, measure_confirmed;
    ell_length carrier_longest, cord_drop; /* or SURVEY_UNKNOWN */
    struct survey_curtain curtain;
    struct survey_near near[SURVEY_NEAR];
    size_t near_count;
    ell_length straights[SURVEY_STRAIGHTS];
    double angles[SURVEY_STRAIGHTS - 1];
    size_t straight_count; /* 0: a straight track */
    struct survey_reading understood[SURVEY_READINGS];
    size_t understood_count;
};

/* Reads one window. `path` names it in faults ("windows[2]"). On failure *survey is as before. */
bool survey_read(const json_t *window, const char *path, struct survey *survey,
                 struct fault *fault) MUST_CHECK;

#endif
