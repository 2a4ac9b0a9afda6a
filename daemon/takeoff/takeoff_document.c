/* A take-off as JSON. SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "takeoff/work.h"

#include <math.h>

static const char *const severity_words[] = {"note", "caution", "refusal"};

/* jansson answers NULL for an append to or with NULL; `good` gathers whether anything failed. */
struct writer {
    bool good;
};

static void put(struct writer *writer, json_t *object, const char *name, json_t *value) {
    writer->good = json_object_set_new(object, name, value) == 0 && writer->good;
}

static void put_length(struct writer *writer, json_t *object, const char *name, ell_length length) {
    put(writer, object, name, length == SURVEY_UNKNOWN ? json_null() : document_length(length));
}

static void put_text(struct writer *writer, json_t *object, const char *name, const char *text) {
    put(writer, object, name, json_string(text));
}

static void put_boolean(struct writer *writer, json_t *object, const char *name, bool value) {
    put(writer, object, name, json_boolean(value));
}

static void put_integer(struct writer *writer, json_t *object, const char *name, int64_t value) {
    put(writer, object, name, json_integer(value));
}

static json_t *append(struct writer *writer, json_t *array) {
    json_t *object = json_object();
    writer->good = json_array_append_new(array, object) == 0 && writer->good;
    return object;
}

static json_t *open_array(struct writer *writer, json_t *object, const char *name) {
    json_t *array = json_array();
    put(writer, object, name, array);
    return array;
}

static void put_lengths(struct writer *writer, json_t *object, const char *name, const ell_length *lengths,
                        size_t count) {
    json_t *array = open_array(writer, object, name);
    for (size_t i = 0; i < count; i++)
        writer->good = json_array_append_new(array, document_length(lengths[i])) == 0 && writer->good;
}

static void write_head(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    put_text(writer, root, "window", survey->window);
    put_text(writer, root, "room", survey->room);
    put_text(writer, root, "system", takeoff->system->code);
    put_text(writer, root, "finish", survey->finish);
    put_text(writer, root, "control", control_words[survey->control]);
    put_text(writer, root, "draw", draw_words[survey->draw]);
    put_text(writer, root, "position", position_words[survey->position]);
    put_text(writer, root, "place", place_words[survey->place]);
    put_boolean(writer, root, "corded", takeoff->system->corded);
    put_boolean(writer, root, "refused", takeoff->refused);
    put_length(writer, root, "overall", takeoff->overall);
    put_length(writer, root, "cut_total", takeoff->cut_total);
    put_length(writer, root, "run", takeoff->run);
    put_length(writer, root, "midpoint", takeoff->midpoint);
    put_length(writer, root, "past_left", takeoff->past_left);
    put_length(writer, root, "past_right", takeoff->past_right);
    put_length(writer, root, "height", takeoff->height);
    put_length(writer, root, "above", takeoff->above);
}

static void put_real(struct writer *writer, json_t *object, const char *name, double value, double step) {
    put(writer, object, name, json_real(round(value / step) * step));
}

static void write_hanging(struct writer *writer, json_t *root, const struct takeoff_hanging *hanging) {
    json_t *object = hanging->state_count > 0 ? json_object() : json_null();
    put(writer, root, "hanging", object);
    if (hanging->state_count == 0)
        return;
    put_integer(writer, object, "weight", llround(hanging->weight));
    put_integer(writer, object, "track_weight", llround(hanging->track_weight));
    put_length(writer, object, "worst", hanging->worst);
    put_real(writer, object, "reaction", hanging->reaction, 0.1);
    json_t *states = open_array(writer, object, "states");
    for (size_t i = 0; i < hanging->state_count; i++) {
        json_t *state = append(writer, states);
        put_text(writer, state, "state", hanging->states[i].state);
        put_length(writer, state, "bracket", hanging->states[i].bracket);
        put_real(writer, state, "reaction", hanging->states[i].reaction, 0.1);
        put_integer(writer, state, "moment", llround(hanging->states[i].moment));
        put_real(writer, state, "sag", hanging->states[i].sag, 0.01);
    }
    put_real(writer, object, "bracket_use", hanging->bracket_use * 100, 0.1);
    put_real(writer, object, "screw_use", hanging->screw_use * 100, 0.1);
    put_real(writer, object, "track_use", hanging->track_use * 100, 0.1);
    put_real(writer, object, "bending_use", hanging->bending_use * 100, 0.1);
    put_real(writer, object, "sag_use", hanging->sag_use * 100, 0.1);
    put_integer(writer, object, "torque", llround(hanging->torque));
    json_t *limit = json_object();
    put(writer, object, "limit", limit);
    put_real(writer, limit, "bracket", hanging->limit, 0.1);
    put_text(writer, limit, "by", hanging->limit_by);
    put_boolean(writer, object, "invented", hanging->invented);
}

static void write_pieces(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    json_t *pieces = open_array(writer, root, "pieces");
    const struct takeoff_split *taken = &takeoff->splits[0];
    size_t count = takeoff->split_count > 0 ? taken->piece_count : 0;
    for (size_t i = 0; i < count; i++) {
        json_t *piece = append(writer, pieces);
        put_integer(writer, piece, "piece", (int64_t)i + 1);
        put_integer(writer, piece, "of", (int64_t)count);
        put_text(writer, piece, "side",
                 count == 1       ? "whole"
                 : i == 0         ? "left"
                 : i + 1 == count ? "right"
                                  : "middle");
        put_length(writer, piece, "length", taken->pieces[i]);
    }
    json_t *splits = open_array(writer, root, "splits");
    for (size_t i = 0; i < takeoff->split_count && count > 1; i++) {
        const struct takeoff_split *split = &takeoff->splits[i];
        json_t *object = append(writer, splits);
        put_length(writer, object, "join", split->joins[0]);
        put_lengths(writer, object, "joins", split->joins, split->piece_count - 1);
        put_lengths(writer, object, "pieces", split->pieces, split->piece_count);
        write_hanging(writer, object, &split->hanging);
    }
    put_boolean(writer, root, "splits_capped", takeoff->splits_capped);
}

static void write_marks(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    json_t *bends = open_array(writer, root, "bends");
    for (size_t i = 0; i < takeoff->bend_count; i++) {
        json_t *bend = append(writer, bends);
        put_length(writer, bend, "from_left", takeoff->bends[i].start);
        put(writer, bend, "angle", json_real(takeoff->bends[i].angle));
        put_length(writer, bend, "radius", takeoff->system->bends.radius);
        put_length(writer, bend, "length", takeoff->bends[i].length);
    }
    json_t *brackets = open_array(writer, root, "brackets");
    for (size_t i = 0; i < takeoff->mark_count; i++) {
        json_t *bracket = append(writer, brackets);
        put_length(writer, bracket, "from_left", takeoff->marks[i].from_left);
        put_length(writer, bracket, "from_midpoint", takeoff->marks[i].from_midpoint);
        put_text(writer, bracket, "kind", takeoff->marks[i].join ? "join" : "bracket");
    }
    put_boolean(writer, root, "even", takeoff->even);
}

static void write_fixing(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    const struct fixing *fixing = takeoff->fixing;
    const struct catalogue *catalogue = takeoff->catalogue;
    if (fixing == NULL) {
        put(writer, root, "fixing", json_null());
        return;
    }
    json_t *object = json_object();
    put(writer, root, "fixing", object);
    put_text(writer, object, "substrate", catalogue->substrates[takeoff->into].code);
    put_text(writer, object, "wall", catalogue->substrates[takeoff->wall].code);
    put_text(writer, object, "screw", catalogue->parts[fixing->screw].code);
    put_integer(writer, object, "screws", fixing->screws);
    put(writer, object, "plug",
        fixing->plug == SIZE_MAX ? json_null() : json_string(catalogue->parts[fixing->plug].code));
    put(writer, object, "drill", json_real(fixing->drill));
    put_length(writer, object, "depth", fixing->depth);
    put_boolean(writer, object, "pilot", fixing->pilot);
    put_text(writer, object, "note", fixing->note);
}

/* Which parts may stand in for it at this window, the first choice first. */
static void write_substitutes(struct writer *writer, json_t *line, const struct takeoff *takeoff,
                              const struct part *part) {
    json_t *codes = NULL;
    for (size_t i = 0; i < part->substitute_count; i++) {
        if (!condition_holds(&part->substitutes[i].when, takeoff))
            continue;
        codes = codes == NULL ? open_array(writer, line, "substitutes") : codes;
        const char *code = takeoff->catalogue->parts[part->substitutes[i].part].code;
        writer->good = json_array_append_new(codes, json_string(code)) == 0 && writer->good;
    }
}

static void write_parts(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    json_t *parts = open_array(writer, root, "parts");
    for (size_t i = 0; i < takeoff->part_count; i++) {
        const struct part *part = &takeoff->catalogue->parts[takeoff->parts[i].part];
        json_t *line = append(writer, parts);
        put_text(writer, line, "part", part->code);
        put_text(writer, line, "name", part->name);
        put_text(writer, line, "role", role_words[part->role]);
        put_text(writer, line, "unit", unit_words[part->unit]);
        if (part->unit == UNIT_EACH)
            put_integer(writer, line, "quantity", takeoff->parts[i].quantity);
        else
            put_length(writer, line, "quantity", takeoff->parts[i].quantity);
        put_text(writer, line, "why", takeoff->parts[i].why);
        write_substitutes(writer, line, takeoff, part);
    }
    json_t *cord = takeoff->system->corded ? json_object() : json_null();
    put(writer, root, "cord", cord);
    if (takeoff->system->corded) {
        put_length(writer, cord, "length", takeoff->cord_length);
        put_length(writer, cord, "drop", takeoff->cord_drop);
    }
}

static void write_curtains(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    json_t *object = json_object();
    put(writer, root, "curtains", object);
    put_integer(writer, object, "weight",
                llround(takeoff->curtains[0].weight * (double)takeoff->curtain_count));
    put_length(writer, object, "cloth_width", takeoff->cloth_width);
    put_integer(writer, object, "widths", takeoff->cloth_widths);
    put_length(writer, object, "cloth", takeoff->cloth);
    json_t *each = open_array(writer, object, "each");
    for (size_t i = 0; i < takeoff->curtain_count; i++) {
        const struct takeoff_curtain *curtain = &takeoff->curtains[i];
        json_t *line = append(writer, each);
        put_text(writer, line, "side", curtain->side);
        put_length(writer, line, "width", curtain->width);
        put_length(writer, line, "drop", curtain->drop);
        put_length(writer, line, "flat", curtain->flat);
        put_length(writer, line, "cut_drop", curtain->cut_drop);
        put(writer, line, "widths", json_real((double)curtain->half_widths / 2));
        put_integer(writer, line, "hooks", curtain->hooks);
        put_length(writer, line, "overlap", curtain->overlap);
        put_length(writer, line, "return", curtain->back);
        put_integer(writer, line, "weight", llround(curtain->weight));
    }
}

static void write_stack(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    json_t *stack = json_object();
    put(writer, root, "stack", stack);
    put_length(writer, stack, "rule", takeoff->stack_rule);
    put_length(writer, stack, "left", takeoff->stack_left);
    put_length(writer, stack, "right", takeoff->stack_right);
    put_length(writer, stack, "daylight_lost", takeoff->daylight_lost);
}

static void write_words(struct writer *writer, json_t *root, const struct takeoff *takeoff) {
    json_t *understood = open_array(writer, root, "understood");
    for (size_t i = 0; i < takeoff->survey.understood_count; i++) {
        const struct survey_reading *reading = &takeoff->survey.understood[i];
        json_t *object = append(writer, understood);
        put_text(writer, object, "field", reading->field);
        put_text(writer, object, "given", reading->given);
        put_length(writer, object, "length", reading->length);
    }
    json_t *list = open_array(writer, root, "advice");
    for (size_t i = 0; i < takeoff->advice_count; i++) {
        const struct takeoff_advice *advice = &takeoff->advice[i];
        json_t *object = append(writer, list);
        put_text(writer, object, "code", advice->code);
        put_text(writer, object, "severity", severity_words[advice->severity]);
        put_text(writer, object, "where", advice->where);
        put_text(writer, object, "message", advice->message);
        put_text(writer, object, "remedy", advice->remedy);
    }
}

json_t *takeoff_document(const struct takeoff *takeoff) {
    struct writer writer = {.good = true};
    json_t *root = json_object();
    write_head(&writer, root, takeoff);
    write_pieces(&writer, root, takeoff);
    write_marks(&writer, root, takeoff);
    write_fixing(&writer, root, takeoff);
    write_parts(&writer, root, takeoff);
    write_hanging(&writer, root, &takeoff->hanging);
    write_curtains(&writer, root, takeoff);
    write_stack(&writer, root, takeoff);
    write_words(&writer, root, takeoff);
    if (writer.good)
        return root;
    json_decref(root);
    return NULL;
}
