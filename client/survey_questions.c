/* What is asked, in which order and under which condition. SPDX-License-Identifier: Apache-2.0 */
#include "survey_questions.h"

#include <string.h>

static bool is(const struct survey_draft *draft, const char *field, const char *word) {
    return strcmp(survey_draft_word(draft, field), word) == 0;
}

/* What a document brought along is asked for even where it serves no purpose, so that nothing is dropped unseen. */
static bool outside(const struct survey_draft *draft) {
    return is(draft, "place", "outside");
}
static bool inside(const struct survey_draft *draft) {
    return !outside(draft);
}
static bool straight(const struct survey_draft *draft) {
    return outside(draft) && is(draft, "shape", "straight");
}
static bool bay(const struct survey_draft *draft) {
    return outside(draft) && is(draft, "shape", "bay");
}
static bool ceiling(const struct survey_draft *draft) {
    return outside(draft) || survey_draft_has(draft, "ceiling");
}
static bool wall_left(const struct survey_draft *draft) {
    return straight(draft) || survey_draft_has(draft, "wall_left");
}
static bool wall_right(const struct survey_draft *draft) {
    return straight(draft) || survey_draft_has(draft, "wall_right");
}
static bool batten(const struct survey_draft *draft) {
    size_t row = catalogue_substrate(draft->catalogue, survey_draft_word(draft, "substrate"));
    return row == SIZE_MAX || !draft->catalogue->substrates[row].batten || survey_draft_has(draft, "batten");
}
static bool cord_drop(const struct survey_draft *draft) {
    return !is(draft, "control", "hand") || survey_draft_has(draft, "cord_drop");
}
static bool drop(const struct survey_draft *draft) {
    return is(draft, "curtain.reach", "drop");
}
static bool clearance(const struct survey_draft *draft) {
    return !drop(draft) || survey_draft_has(draft, "curtain.clearance");
}
static bool details(const struct survey_draft *draft) {
    return is(draft, "details", "yes");
}
static bool confirmed(const struct survey_draft *draft) {
    return survey_draft_has(draft, "measure_confirmed");
}

static const struct survey_word units[] = {
    {"mm", "millimetres"}, {"cm", "centimetres"}, {"in", "inches, such as 72 1/2"}, {0}};
static const struct survey_word positions[] = {
    {"face", "on the face of the wall"}, {"top", "up into the ceiling, or the top of the recess"}, {0}};
static const struct survey_word places[] = {
    {"outside", "outside the recess, past the opening"}, {"inside", "inside the recess"}, {0}};
static const struct survey_word shapes[] = {
    {"straight", "one straight track"}, {"bay", "bent round the corners of a bay"}, {0}};
static const struct survey_word controls[] = {
    {"hand", "drawn by hand"}, {"cord-left", "cord at the left"}, {"cord-right", "cord at the right"}, {0}};
static const struct survey_word draws[] = {{"pair", "two curtains, one to each side"},
                                           {"left", "one curtain, open it stands at the left"},
                                           {"right", "one curtain, open it stands at the right"},
                                           {0}};
static const struct survey_word reaches[] = {{"floor", "down to the floor"},
                                             {"sill", "to the sill, or a little below"},
                                             {"drop", "a drop that was measured"},
                                             {0}};
static const struct survey_word yes_no[] = {{"no", "no"}, {"yes", "yes"}, {0}};
static const struct survey_word things[] = {{"socket", "power socket"},
                                            {"switch", "light switch"},
                                            {"radiator", "radiator"},
                                            {"heater", "electric heater or stove"},
                                            {"pipe", "water, gas or heating pipe"},
                                            {"cable", "cable in the wall"},
                                            {0}};
static const struct survey_word nexts[] = {{"new", "another window, from the beginning"},
                                           {"copy", "another window that begins as a copy of the last one"},
                                           {"again", "the last window again, to change it"},
                                           {"order", "the order itself: customer, day, priority, notes"},
                                           {"done", "no more: stop here"},
                                           {0}};

const struct survey_question survey_questions[] = {
    /* --- the order --- */
    {"order", SURVEY_OF_ORDER, SURVEY_TEXT, "order", "Number of the order",
     "The workshop's own number, such as A1001: at most 23 letters and digits. Every label and sheet shows "
     "it.",
     .example = "A1001", .needed = "always"},
    {"customer", SURVEY_OF_ORDER, SURVEY_TEXT, "customer", "Customer",
     "The name as it shall stand on the sheets; add the house or the shop where that helps the fitter.",
     .example = "Somebody", .needed = "always"},
    {"due", SURVEY_OF_ORDER, SURVEY_DATE, "due", "Due date, year-month-day",
     "The day on which the order must leave the workshop, such as 2026-12-04. What is due first is cut and "
     "reserved first.",
     .example = "2026-12-04", .needed = "always"},
    {"priority", SURVEY_OF_ORDER, SURVEY_NUMBER, "priority", "Priority, 0 to 9",
     "Among orders due on the same day: 9 is served first, 0 last.", .otherwise = "5", .example = "5",
     .needed = "may be empty: 5", .optional = true},
    {"unit", SURVEY_OF_ORDER, SURVEY_WORD, "unit", "Unit of the measures",
     "What a bare number means in the questions that follow, and what labels and sheets show lengths in. Any "
     "measure may also be typed with its own unit: 183 cm, 1.83 m, 72 1/2 in.",
     .words = units, .otherwise = "mm", .example = "mm", .needed = "may be empty: mm", .optional = true},
    {"notes", SURVEY_OF_ORDER, SURVEY_TEXT, "notes", "Notes for the whole order",
     "What whoever delivers or fits should know: the way in, the dog, the hours.",
     .example = "Deliver to the back door.", .needed = "may be empty", .optional = true},

    /* --- a window: where --- */
    {"window", SURVEY_OF_WINDOW, SURVEY_TEXT, "window", "Name of the window",
     "A short name that is in this order once, such as W1 or BAY. Write the same on your measuring sheet.",
     .example = "W1", .needed = "always, once in its order"},
    {"room", SURVEY_OF_WINDOW, SURVEY_TEXT, "room", "Room", "So that the fitter finds the window.",
     .example = "Kitchen", .needed = "may be empty", .optional = true, .copied = true},
    {"position", SURVEY_OF_WINDOW, SURVEY_WORD, "position", "Fixed to what",
     "On the face: screwed to the wall above the window, or to the back of the recess. To the top: screwed "
     "upwards, into the ceiling or the top of the recess.",
     .words = positions, .example = "face", .needed = "always", .copied = true},
    {"place", SURVEY_OF_WINDOW, SURVEY_WORD, "place", "Outside or inside the recess",
     "Outside, the track passes the opening on both sides so that the open curtains clear the glass. Inside, "
     "it "
     "fits between the side walls of the recess.",
     .words = places, .example = "outside", .needed = "always", .copied = true},
    {"shape", SURVEY_OF_WINDOW, SURVEY_WORD, "shape", "Straight, or round a bay",
     "A bay is measured along its walls from corner to corner, with the angle of each corner; not every "
     "system can be bent.",
     .words = shapes, .otherwise = "straight", .example = "straight", .needed = "", .own = true,
     .copied = true, .applies = outside},

    /* --- measures --- */
    {"width", SURVEY_OF_WINDOW, SURVEY_LENGTH, "width A", "Width of the opening (A)",
     "Straight across from the left edge of the opening to its right edge. Measure the opening, not the "
     "track: how far the track passes it is worked out. A steel tape, held level.",
     .example = "1830", .needed = "outside, unless it is a bay", .applies = straight},
    {"widths", SURVEY_OF_WINDOW, SURVEY_LENGTHS, "widths A", "Widths at the top, the middle, the bottom (A)",
     "Three measures from side to side of the recess, with blanks or commas between. Recesses are seldom "
     "square: the smallest counts, and a fitting clearance comes off by itself.",
     .example = "1204 1202 1205", .needed = "inside", .applies = inside},
    {"bay.straights", SURVEY_OF_WINDOW, SURVEY_LENGTHS, "straights A", "Straights of the bay (A)",
     "Along the wall, from the left: from where the track shall begin to the first corner, then corner to "
     "corner, and from the last corner to where it shall end. 2 to 9 measures with blanks or commas between.",
     .example = "700 1500 700", .needed = "with a bay", .applies = bay},
    {"bay.angles", SURVEY_OF_WINDOW, SURVEY_NUMBERS, "angles", "Angles of the bay's corners, degrees",
     "The angle inside the room at each corner, from the left, one fewer than there are straights: 90 is a "
     "square corner, 135 half a square. Take it with a sliding bevel or a folded card.",
     .example = "135 135", .needed = "with a bay", .applies = bay},
    {"height", SURVEY_OF_WINDOW, SURVEY_LENGTH, "height B", "Height of the opening (B)",
     "From the upper edge of the opening down to its lower edge or the sill, at the tallest place.",
     .example = "1250", .needed = "always"},
    {"ceiling", SURVEY_OF_WINDOW, SURVEY_LENGTH, "ceiling C", "From the opening up to the ceiling (C)",
     "From the upper edge of the opening to the ceiling or a cornice. It says whether the track can be "
     "clicked onto its brackets; a track on the ceiling cannot do without it.",
     .example = "420", .needed = "may be empty; position top outside needs it", .optional = true,
     .applies = ceiling},
    {"floor", SURVEY_OF_WINDOW, SURVEY_LENGTH, "floor D", "From the opening down to the floor (D)",
     "From the lower edge of the opening or the sill to the finished floor, at both ends: take the smaller. "
     "Curtains to the floor cannot do without it.",
     .example = "900", .needed = "may be empty; curtains to the floor need it", .optional = true},
    {"wall_left", SURVEY_OF_WINDOW, SURVEY_LENGTH, "wall left E", "Free wall at the left (E)",
     "From the left edge of the opening to the next wall, cupboard or pipe. Leave it empty where nothing is "
     "in the way.",
     .example = "600", .needed = "may be empty", .optional = true, .applies = wall_left},
    {"wall_right", SURVEY_OF_WINDOW, SURVEY_LENGTH, "wall right F", "Free wall at the right (F)",
     "From the right edge of the opening to the next wall, cupboard or pipe. Leave it empty where nothing is "
     "in the way.",
     .example = "500", .needed = "may be empty", .optional = true, .applies = wall_right},

    /* --- what holds it --- */
    {"substrate", SURVEY_OF_WINDOW, SURVEY_SUBSTRATE, "wall", "What the screws go into",
     "The wall or ceiling just where the brackets will be. Knock on it, and look where its edge can be seen: "
     "at the window, in the loft. Old plaster may hide anything; if you cannot tell, ask a competent fitter.",
     .example = "masonry", .needed = "always: a code of the catalogue", .copied = true},
    {"batten", SURVEY_OF_WINDOW, SURVEY_YES_NO, "batten", "Will a timber batten be fixed first?",
     "The batten then carries track and curtains, and must itself be fixed safely to the wall.",
     .words = yes_no, .otherwise = "no", .example = "no", .needed = "may be empty: no", .optional = true,
     .copied = true, .applies = batten},

    /* --- how it is drawn --- */
    {"control", SURVEY_OF_WINDOW, SURVEY_WORD, "control", "How the curtains are drawn",
     "By hand, or by a cord at one end. A cord loop can strangle a small child: it is only fitted with a "
     "tension pulley that holds it taut, and drawn by hand is safer where children may be.",
     .words = controls, .example = "hand", .needed = "always", .copied = true},
    {"draw", SURVEY_OF_WINDOW, SURVEY_WORD, "draw", "Where the open curtains stand",
     "A pair stands at both ends; a single curtain at the left or the right, as seen from the room.",
     .words = draws, .otherwise = "pair", .example = "pair", .needed = "always", .copied = true},
    {"children", SURVEY_OF_WINDOW, SURVEY_YES_NO, "children", "May children be in the room?",
     "Also as guests. Say no only where they never are: cautions about cords depend on it.", .words = yes_no,
     .otherwise = "yes", .example = "yes", .needed = "may be empty: yes", .optional = true, .copied = true},
    {"system", SURVEY_OF_WINDOW, SURVEY_SYSTEM, "system", "Track system",
     "A system that is drawn that way and can be fixed (and bent) there; no others are shown.",
     .example = "LARK", .needed = "always: a code of the catalogue", .copied = true},
    {"finish", SURVEY_OF_WINDOW, SURVEY_FINISH, "finish", "Finish", "The finishes this system is made in.",
     .example = "WH", .needed = "always: a code of the catalogue", .copied = true},
    {"cord_drop", SURVEY_OF_WINDOW, SURVEY_LENGTH, "cord drop", "From the track down to the tension pulley",
     "The pulley sits on wall, skirting or sill straight under the loop. Left empty, the system's usual "
     "height "
     "above the floor is taken.",
     .example = "1600", .needed = "may be empty; with a cord", .optional = true, .applies = cord_drop},

    /* --- the curtain --- */
    {"curtain.reach", SURVEY_OF_WINDOW, SURVEY_WORD, "curtain to", "How far down the curtains reach",
     "The drop is worked out from the height of the track; or give the drop that was asked for.",
     .words = reaches, .example = "floor", .needed = "unless curtain.drop is given", .copied = true},
    {"curtain.heading", SURVEY_OF_WINDOW, SURVEY_HEADING, "heading", "Heading",
     "How the upper edge is gathered; it decides on the hooks and how wide the open curtain stands.",
     .example = "pencil", .needed = "always: a code of the catalogue", .copied = true},
    {"curtain.drop", SURVEY_OF_WINDOW, SURVEY_LENGTH, "drop", "Finished drop",
     "From the hooks down to the lower edge of the finished curtain.", .example = "1750",
     .needed = "unless curtain.reach is given", .applies = drop},
    {"curtain.clearance", SURVEY_OF_WINDOW, SURVEY_LENGTH, "clearance", "Clear of floor or sill",
     "How far above floor or sill the curtain ends; below the sill with a minus: -150.", .otherwise = "10 mm",
     .example = "10", .needed = "may be empty: 0", .optional = true, .copied = true, .applies = clearance},
    {"curtain.fullness", SURVEY_OF_WINDOW, SURVEY_NUMBER, "fullness", "Fullness",
     "Flat width of the cloth divided by the width of the track: 1.5 is sparse, 2 is usual, 2.5 is rich.",
     .otherwise = "2", .example = "2", .needed = "always", .copied = true},
    {"curtain.face", SURVEY_OF_WINDOW, SURVEY_NUMBER, "cloth", "Weight of the face cloth, g/m2",
     "From the maker's label; else weigh a known piece. Light cloth has 150, heavy cloth 450. The check of "
     "brackets and screws goes by it, so do not guess low.",
     .example = "280", .needed = "always", .copied = true},
    {"curtain.lining", SURVEY_OF_WINDOW, SURVEY_NUMBER, "lining", "Weight of the lining, g/m2",
     "From the maker's label, often 120 to 180; left empty when there is none.", .example = "140",
     .needed = "may be empty: 0", .optional = true, .copied = true},
    {"curtain.interlining", SURVEY_OF_WINDOW, SURVEY_NUMBER, "interlining", "Weight of the interlining, g/m2",
     "The soft layer between face and lining, often 200 to 300; left empty when there is none.",
     .example = "250", .needed = "may be empty: 0", .optional = true, .copied = true},
    {"carrier_longest", SURVEY_OF_WINDOW, SURVEY_LENGTH, "longest piece",
     "Longest piece that can be brought in",
     "What the van, the stairs, the lift or the parcel service takes. A longer track is made in two or more "
     "pieces.",
     .example = "2400", .needed = "may be empty", .optional = true, .copied = true},
    {"details", SURVEY_OF_WINDOW, SURVEY_WORD, "details", "More for the curtain maker",
     "Thickness, hems, overlap, return, width and pattern of the cloth. Without them the workshop's usual "
     "ones "
     "are taken.",
     .words = yes_no, .otherwise = "no", .example = "no", .needed = "", .own = true, .copied = true},
    {"curtain.thickness", SURVEY_OF_WINDOW, SURVEY_LENGTH, "thickness", "Thickness of all layers",
     "Fold the cloth ten times, press lightly, measure, divide by ten. It says how wide the open curtain "
     "stands.",
     .example = "2", .needed = "may be empty: the workshop's", .optional = true, .copied = true,
     .applies = details},
    {"curtain.hem", SURVEY_OF_WINDOW, SURVEY_LENGTH, "hem", "Cloth for the lower hem",
     "What is added to the drop for the hem, both turns together.", .example = "200",
     .needed = "may be empty: the workshop's", .optional = true, .copied = true, .applies = details},
    {"curtain.heading_allowance", SURVEY_OF_WINDOW, SURVEY_LENGTH, "head", "Cloth for the heading",
     "What is added to the drop at the upper edge.", .example = "80", .needed = "may be empty: the heading's",
     .optional = true, .copied = true, .applies = details},
    {"curtain.overlap", SURVEY_OF_WINDOW, SURVEY_LENGTH, "overlap", "Overlap in the middle",
     "How far two curtains lie over each other when they are drawn shut.", .example = "80",
     .needed = "may be empty: the workshop's", .optional = true, .copied = true, .applies = details},
    {"curtain.return", SURVEY_OF_WINDOW, SURVEY_LENGTH, "return", "Return to the wall",
     "Cloth at each outer end that goes round the track's end back to the wall.", .example = "90",
     .needed = "may be empty: 0", .optional = true, .copied = true, .applies = details},
    {"curtain.cloth_width", SURVEY_OF_WINDOW, SURVEY_LENGTH, "cloth width", "Width of the cloth as bought",
     "From selvedge to selvedge, what can be used.", .example = "1370",
     .needed = "may be empty: the workshop's", .optional = true, .copied = true, .applies = details},
    {"curtain.pattern_repeat", SURVEY_OF_WINDOW, SURVEY_LENGTH, "repeat", "Pattern repeat",
     "From one motif to the next along the cloth: each drop is cut at a whole number of them.",
     .example = "640", .needed = "may be empty: 0", .optional = true, .copied = true, .applies = details},

    /* --- what is in the wall --- */
    {"near.what", SURVEY_OF_NEAR, SURVEY_WORD, "near", "What is in the wall, or before it, near by",
     "Sockets, switches, heaters, pipes, cables: whoever drills must know, and cloth must not hang on a "
     "heater. Cables often run straight up or sideways from a socket. Use a detector; it may err. Leave it "
     "empty when there is nothing (more).",
     .words = things, .example = "socket", .needed = "for each thing in the wall (not in CSV)",
     .optional = true},
    {"near.from_left", SURVEY_OF_NEAR, SURVEY_LENGTH, "from left",
     "From the opening's left edge to its left edge",
     "To the right as it is, to the left with a minus: -300 lies left of the opening.", .example = "-300",
     .needed = "for each thing in the wall (not in CSV)"},
    {"near.width", SURVEY_OF_NEAR, SURVEY_LENGTH, "width", "Its width",
     "From its left edge to its right edge.", .example = "85",
     .needed = "for each thing in the wall (not in CSV)"},
    {"near.from_floor", SURVEY_OF_NEAR, SURVEY_LENGTH, "from floor", "From the floor up to its lower edge",
     "0 for a pipe or cable that comes out of the floor.", .example = "250",
     .needed = "for each thing in the wall (not in CSV)"},
    {"near.height", SURVEY_OF_NEAR, SURVEY_LENGTH, "height", "Its height",
     "From its lower edge to its upper edge.", .example = "85",
     .needed = "for each thing in the wall (not in CSV)"},

    {"notes", SURVEY_OF_WINDOW, SURVEY_TEXT, "notes", "Notes for this window",
     "What the fitter should know: handles that stand out, sloping floors, what could not be measured.",
     .example = "The handle stands out by 60.", .needed = "may be empty", .optional = true},
    {"measure_confirmed", SURVEY_OF_WINDOW, SURVEY_YES_NO, "confirmed",
     "Was it measured again, and is it right?",
     "A measure is unusual, which most often is a slip of the unit. Yes only after measuring once more.",
     .words = yes_no, .otherwise = "no", .example = "no", .needed = "yes when a measure was asked back",
     .applies = confirmed},

    {"next", SURVEY_OF_NEXT, SURVEY_WORD, "next", "What next?",
     "Every finished window is in the file already. A copy keeps wall, system and curtain; what was measured "
     "is "
     "asked for anew.",
     .words = nexts, .otherwise = "new", .example = "done", .needed = "", .own = true},
};
const size_t survey_question_count = sizeof survey_questions / sizeof survey_questions[0];

/* Things in the wall are asked for in the course of a window. */
static enum survey_group course_of(enum survey_group group) {
    return group == SURVEY_OF_NEAR ? SURVEY_OF_WINDOW : group;
}

size_t survey_question_find(enum survey_group group, const char *field) {
    for (size_t i = 0; i < survey_question_count; i++)
        if (course_of(survey_questions[i].group) == course_of(group) &&
            strcmp(survey_questions[i].field, field) == 0)
            return i;
    return survey_question_count;
}
