/* SPDX-License-Identifier: Apache-2.0 */
#include "label/fitting_steps.h"

#include "common/text.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

struct list {
    char (*steps)[FITTING_STEP_TEXT];
    size_t count;
};

static void add(struct list *list, const char *format, ...) PRINTF_LIKE(2, 3);
static void add(struct list *list, const char *format, ...) {
    if (list->count == FITTING_STEPS)
        return;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(list->steps[list->count++], FITTING_STEP_TEXT, format, arguments);
    va_end(arguments);
}

static void marking(struct list *list, const struct fitting *fitting) {
    char height[UNIT_TEXT];
    const char *line = fitting->top ? "where the track runs" : "level";
    add(list, "Check the kit against the list of parts, and each piece of track against its label.");
    if (fitting->height != FITTING_UNKNOWN && !fitting->top)
        add(list, "Draw the fixing line %s, %s above the floor. Check the height at both ends of the track.",
            line, fitting_length(fitting, fitting->height, height));
    else
        add(list, "Draw the fixing line %s, as the drawing shows.", line);
    add(list, "Mark the midpoint of the opening on the line. Mark every bracket from it outwards, each by "
              "its own figure, "
              "never from one bracket to the next.");
}

static void fixing(struct list *list, const struct fitting *fitting) {
    char depth[ELL_LENGTH_TEXT];
    add(list, "Go over every mark with a detector for pipes and cables before drilling.");
    ell_length_text(fitting->depth, depth);
    if (fitting->plug[0])
        add(list, "Drill %g mm, %s mm deep. Blow out the dust, set the plugs flush.", fitting->drill, depth);
    else if (fitting->drill > 0)
        add(list, "Drill %s %g mm, %s mm deep.", fitting->pilot ? "pilot holes" : "holes", fitting->drill,
            depth);
    add(list,
        "Screw on the %zu %s, with %" PRId64
        " %s in each. A screw that turns without biting must be moved or replaced.",
        fitting->mark_count, fitting->top ? "brackets" : "base brackets, then the mounting brackets",
        fitting->screws, fitting->screws == 1 ? "screw" : "screws");
}

static void assembling(struct list *list, const struct fitting *fitting) {
    add(list, "File every cut end inside and out.");
    if (fitting->join_count > 0)
        add(list,
            "Lay the %zu pieces on a flat bench and join them. The join comes to sit in the bracket marked "
            "black.",
            fitting->piece_count);
    add(list, "Slide in gliders and lead gliders, as many on each side, then the end parts.");
    if (fitting_has(fitting, "overlap-arm"))
        add(list, "Put the overlap arm on the lead glider %s, with its own screws and washers.",
            fitting->control == CONTROL_CORD_LEFT    ? "on the left, the cord's side"
            : fitting->control == CONTROL_CORD_RIGHT ? "on the right, the cord's side"
                                                     : "that goes in front");
    if (fitting->corded)
        add(list, "Thread the cord, tie it to the lead gliders and leave the loop to hang on the %s.",
            fitting->control == CONTROL_CORD_LEFT ? "left" : "right");
}

static void finishing(struct list *list, const struct fitting *fitting) {
    add(list, "Lift the track%s and click it into every bracket. Pull at each to feel that it holds.",
        fitting->overall >= 2500 * ELL_MM ? ", two people," : "");
    if (fitting->corded)
        add(list, "Fix the tension pulley straight below the loop with its own two screws, so that the cord "
                  "is taut. The track "
                  "may not be used before that.");
    add(list, "Hang the curtains, draw them fully both ways, and show the user how.");
}

size_t fitting_steps(const struct fitting *fitting, char steps[FITTING_STEPS][FITTING_STEP_TEXT]) {
    struct list list = {steps, 0};
    marking(&list, fitting);
    fixing(&list, fitting);
    assembling(&list, fitting);
    finishing(&list, fitting);
    return list.count;
}

char *fitting_tools(const struct fitting *fitting, char text[FITTING_STEP_TEXT]) {
    snprintf(text, FITTING_STEP_TEXT, "%s%s%s%s%s%s",
             "tape measure, pencil, level, detector for pipes and cables, ",
             fitting->drill > 0 ? "drill" : "", fitting->plug[0] ? ", hammer" : "",
             ", screwdriver, small file, sound ladder, eye protection", fitting->corded ? ", scissors" : "",
             fitting->overall >= 2500 * ELL_MM ? ", a second person" : "");
    return text;
}
