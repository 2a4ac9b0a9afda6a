/* The saw, the rack and what leaves the house. SPDX-License-Identifier: Apache-2.0 */
#include "bench/inner.h"

#include "common/text.h"

#include <stdlib.h>
#include <string.h>

const json_t *bench_bar(const struct bench *bench) {
    return bench->hand == HAND_BAR ? bench_find(json_object_get(bench->shown, "bars"), "code", bench->bar)
                                   : NULL;
}

/* --- What it is --- */

/* "Offcut of WREN in WH, 1250 mm. It lies at rack 5-1, batch 12." */
static void say_look(struct bench *bench, const json_t *found) {
    char text[BENCH_TEXT];
    static const struct {
        const char *field, *words;
    } parts[] = {{"state", ", "},         {"order", ", order "}, {"window", ", window "},  {"kit", ", kit "},
                 {"place", ", lies at "}, {"batch", ", batch "}, {"carrier", ", goes by "}};
    bench_print(text, sizeof text, "%s", bench_text(found, "name"));
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        const char *value = bench_text(found, parts[i].field);
        /* The name has some of it already. */
        if (value[0] != '\0' && strstr(text, value) == NULL)
            bench_print(text + strlen(text), sizeof text - strlen(text), "%s%s", parts[i].words, value);
    }
    bench_say(bench, BENCH_TOLD, "%s.", text);
}

static bool is_void(struct bench *bench, const json_t *found) {
    if (json_object_get(found, "void") == NULL)
        return false;
    bench_say(bench, BENCH_REFUSED, "%s", bench_text(found, "say"));
    return true;
}

static void looked(struct bench *bench, const json_t *found) {
    const json_t *rows = json_object_get(found, "parts");
    if (is_void(bench, found))
        return;
    bench_lay_aside(bench);
    say_look(bench, found);
    if (rows == NULL)
        rows = json_object_get(found, "bins");
    bench->shown = rows != NULL ? json_deep_copy(found) : NULL;
    bench->fresh = true;
    if (strcmp(bench_text(found, "kind"), "piece") == 0 && strcmp(bench_text(found, "state"), "cut") == 0)
        bench_print(bench->hint, sizeof bench->hint, "Scan kit %s, then the piece again.",
                    bench_text(found, "kit"));
}

void rack_look(struct bench *bench, const char *code) {
    bench_ask(bench, "scan.look", json_pack("{s:s}", "code", code), looked);
}

/* --- A bar is taken in hand --- */

static void took_bar(struct bench *bench, const json_t *plan) {
    const json_t *bar = bench_find(json_object_get(plan, "bars"), "code", bench->asked);
    const char *state = bench_text(bar, "state");
    if (bar == NULL || strcmp(state, "released") != 0) {
        bench_say(bench, BENCH_REFUSED,
                  "%s is in plan %" JSON_INTEGER_FORMAT ", which is %s: release it before it is cut.",
                  bench->asked, json_integer_value(json_object_get(plan, "plan")), bench_text(plan, "state"));
        return;
    }
    bench_lay_aside(bench);
    bench->hand = HAND_BAR;
    text_copy(bench->bar, sizeof bench->bar, bench->asked);
    bench->shown = json_deep_copy(plan);
    bench->fresh = true;
    bench_say(bench, BENCH_TOLD, "%s %s is in hand.",
              strcmp(bench_text(bar, "kind"), "offcut") == 0 ? "Offcut" : "Bar", bench->bar);
}

static void looked_bar(struct bench *bench, const json_t *found) {
    json_t *plan = json_object_get(found, "plan");
    if (is_void(bench, found))
        return;
    text_copy(bench->asked, sizeof bench->asked, bench_text(found, "code"));
    if (json_is_integer(plan)) {
        bench_ask(bench, "plan.show", json_pack("{s:O}", "plan", plan), took_bar);
        return;
    }
    bench_lay_aside(bench);
    say_look(bench, found);
    if (strcmp(bench_text(found, "state"), "on-rack") == 0) {
        bench->hand = HAND_RACK;
        text_copy(bench->bar, sizeof bench->bar, bench->asked);
    }
}

void saw_scan(struct bench *bench, const char *code) {
    bench_ask(bench, "scan.look", json_pack("{s:s}", "code", code), looked_bar);
}

/* --- A bar is cut --- */

/* The first bar of the plan that is still to be cut. */
static void looked_plan(struct bench *bench, const json_t *plan) {
    const json_t *bars = json_object_get(plan, "bars"), *next = bench_find(bars, "state", "released");
    size_t left = 0;
    for (size_t i = 0; i < json_array_size(bars); i++)
        left += strcmp(bench_text(json_array_get(bars, i), "state"), "released") == 0;
    if (next != NULL)
        bench_print(bench->hint, sizeof bench->hint,
                    "Next of plan %" JSON_INTEGER_FORMAT ": %s %s%s%s. Scan it. %zu left to cut.",
                    json_integer_value(json_object_get(plan, "plan")), bench_text(next, "kind"),
                    bench_text(next, "code"), bench_text(next, "place")[0] != '\0' ? ", at " : "",
                    bench_text(next, "place"), left);
}

static void was_cut(struct bench *bench, const json_t *answer) {
    const json_t *offcut = json_object_get(answer, "offcut");
    json_t *plan = json_object_get(answer, "plan");
    char left[BENCH_NAME], what[BENCH_NAME];
    bool done = json_is_true(json_object_get(answer, "plan_done"));
    bench_length_text(bench, json_number_value(json_object_get(answer, "remainder")), left);
    bench_print(what, sizeof what, "%s was cut", bench->bar);
    bench_did(bench, DEED_CUT, "", bench->bar, what, NULL);
    if (json_is_object(offcut))
        bench_say(bench, BENCH_DONE, "%s is cut. What is left, %s, is offcut %s: label it, put it to %s.%s",
                  bench->bar, left, bench_text(offcut, "code"),
                  bench_text(offcut, "place")[0] != '\0' ? bench_text(offcut, "place") : "the rack",
                  done ? " The plan is done." : "");
    else
        bench_say(bench, BENCH_DONE, "%s is cut. What is left, %s, is scrap.%s", bench->bar, left,
                  done ? " The plan is done." : "");
    bench_lay_aside(bench);
    if (!done && json_is_integer(plan))
        bench_ask(bench, "plan.show", json_pack("{s:O}", "plan", plan), looked_plan);
}

static void ask_cut(struct bench *bench, ell_length remainder, bool confirmed) {
    json_t *spoiled = json_array();
    char length[ELL_LENGTH_TEXT];
    for (int i = 0; i < bench->spoiled_count; i++)
        json_array_append_new(spoiled, json_string(bench->spoiled[i]));
    json_t *body = json_pack("{s:s, s:o, s:b, s:s*}", "bar", bench->bar, "spoiled", spoiled, "confirmed",
                             (int)confirmed, "place", bench->place[0] != '\0' ? bench->place : NULL);
    if (remainder >= 0)
        json_object_set_new(body, "remainder", json_string(ell_length_text(remainder, length)));
    bench_ask(bench, "bar.cut", body, was_cut);
}

void saw_cut(struct bench *bench) {
    ask_cut(bench, -1, false);
}

void saw_ask_again(struct bench *bench) {
    char measured[BENCH_NAME], planned[BENCH_NAME];
    bench->question = ASK_MEASURE;
    bench_length_text(bench, (double)bench->measured / ELL_MM, measured);
    bench_length_text(bench, json_number_value(json_object_get(bench_bar(bench), "remainder")), planned);
    bench_say(bench, BENCH_REFUSED, "%s was measured where %s should be left; nothing is booked yet.",
              measured, planned);
}

/* A measure far from the plan is taken twice; the second counts only when it is the first again, to a millimetre. */
void saw_measured(struct bench *bench) {
    ell_length left;
    if (bench->number[0] == '\0' || !input_length(bench->number, bench->unit, &left)) {
        bench_say(bench, BENCH_REFUSED,
                  bench->question == ASK_MEASURE ? "Measure what is left once more, and type it."
                                                 : "That is no length.");
        bench->number[0] = '\0';
        return;
    }
    bool same = bench->question == ASK_MEASURE && llabs(left - bench->measured) <= ELL_MM;
    bench->measured = left;
    bench_forget_question(bench);
    ask_cut(bench, left, same);
}

/* --- Pieces at the saw --- */

void saw_piece(struct bench *bench, const char *code) {
    const json_t *pieces = json_object_get(bench_bar(bench), "pieces"),
                 *piece = bench_find(pieces, "code", code);
    char length[BENCH_NAME];
    if (piece == NULL) {
        bench_say(bench, BENCH_REFUSED,
                  "Piece %s is not cut from %s. SPOILED comes before a piece that was mis-cut.", code,
                  bench->bar);
        return;
    }
    bench_length_text(bench, json_number_value(json_object_get(piece, "length")), length);
    bench_say(bench, BENCH_TOLD, "Piece %s: set the stop at %s. Order %s, window %s.", code, length,
              bench_text(piece, "order"), bench_text(piece, "window"));
}

void saw_spoiled(struct bench *bench, const char *code) {
    bench_forget_question(bench);
    if (bench->hand != HAND_BAR) {
        bench->question = ASK_RECUT;
        text_copy(bench->subject, sizeof bench->subject, code);
        bench_say(bench, BENCH_TOLD, "Piece %s goes back to be planned and cut again.", code);
        return;
    }
    for (int i = 0; i < bench->spoiled_count; i++)
        if (strcmp(bench->spoiled[i], code) == 0) {
            bench_say(bench, BENCH_TOLD, "Piece %s counts as spoiled already.", code);
            return;
        }
    if (bench_find(json_object_get(bench_bar(bench), "pieces"), "code", code) == NULL) {
        bench_say(bench, BENCH_REFUSED, "Piece %s is not cut from %s. STOP lays the bar aside.", code,
                  bench->bar);
    } else if (bench->spoiled_count == BENCH_SPOILED) {
        bench_say(bench, BENCH_REFUSED, "No more pieces can be spoiled of one bar.");
    } else {
        text_copy(bench->spoiled[bench->spoiled_count++], CODE_TEXT, code);
        bench_say(bench, BENCH_TOLD, "Piece %s counts as spoiled; with the bar it goes back to be cut again.",
                  code);
    }
}

static void was_recut(struct bench *bench, const json_t *answer) {
    char what[BENCH_NAME];
    (void)answer;
    bench_print(what, sizeof what, "piece %s was given up", bench->asked);
    bench_did(bench, DEED_RECUT, "", bench->asked, what, NULL);
    bench_say(bench, BENCH_DONE, "Piece %s waits to be planned and cut again.", bench->asked);
}

void saw_recut(struct bench *bench) {
    text_copy(bench->asked, sizeof bench->asked, bench->subject);
    bench_forget_question(bench);
    bench_ask(bench, "piece.recut",
              json_pack("{s:s, s:s}", "piece", bench->asked, "reason", "spoiled, said at the bench"),
              was_recut);
}

/* --- The rack --- */

void rack_write_off(struct bench *bench, const char *reason) {
    if (bench->hand != HAND_RACK) {
        bench_say(bench, BENCH_REFUSED,
                  "Scan the bar or offcut first; one that a plan counts on cannot be written off.");
    } else if (reason[0] == '\0') {
        bench_say(bench, BENCH_REFUSED, "Say why after it: write-off bent");
    } else {
        bench_forget_question(bench);
        bench->question = ASK_WRITE_OFF;
        text_copy(bench->subject, sizeof bench->subject, reason);
        bench_say(bench, BENCH_TOLD, "Write off %s for good: %s?", bench->bar, reason);
    }
}

static void was_written_off(struct bench *bench, const json_t *answer) {
    char what[BENCH_NAME];
    (void)answer;
    bench_print(what, sizeof what, "%s was written off", bench->bar);
    bench_did(bench, DEED_WRITE_OFF, "", bench->bar, what, NULL);
    bench_say(bench, BENCH_DONE, "%s is written off.", bench->bar);
    bench_lay_aside(bench);
}

void rack_gone(struct bench *bench) {
    json_t *body = json_pack("{s:s, s:s}", "bar", bench->bar, "reason", bench->subject);
    bench_forget_question(bench);
    bench_ask(bench, "rack.write-off", body, was_written_off);
}

/* --- Parcels --- */

static void was_sent(struct bench *bench, const json_t *answer) {
    const json_t *left = json_object_get(answer, "left");
    char order[BENCH_NAME], before[BENCH_NAME], what[BENCH_NAME];
    text_copy(order, sizeof order, bench_text(answer, "order"));
    text_copy(before, sizeof before, bench->hint[0] != '\0' ? bench->order : order);
    bool other = bench->hand == HAND_PARCELS && strcmp(before, order) != 0;
    bench_lay_aside(bench);
    bench->hand = HAND_PARCELS;
    text_copy(bench->order, sizeof bench->order, order);
    bench_print(what, sizeof what, "parcel %s has gone", bench->asked);
    bench_did(bench, DEED_SENT, "", bench->asked, what, NULL);
    bench_say(bench, BENCH_DONE, "Parcel %s of order %s has gone.%s%s%s", bench->asked, order,
              json_array_size(left) == 0 ? " It was the last: the order is dispatched." : "",
              other ? " Parcels are still here of order " : "", other ? before : "");
    if (json_array_size(left) == 0)
        return;
    bench_print(bench->hint, sizeof bench->hint, "Still here of order %s:", order);
    for (size_t i = 0; i < json_array_size(left); i++) {
        const char *code = json_string_value(json_array_get(left, i));
        size_t used = strlen(bench->hint);
        bench_print(bench->hint + used, sizeof bench->hint - used, " %s", code != NULL ? code : "");
    }
}

void parcel_scan(struct bench *bench, const char *code) {
    text_copy(bench->asked, sizeof bench->asked, code);
    bench_ask(bench, "parcel.send", json_pack("{s:s}", "parcel", code), was_sent);
}
