/* The scanner session: lines, what they mean, and what they do to what is in hand. SPDX-License-Identifier: Apache-2.0 */
#include "bench/session.h"

#include <criterion/criterion.h>
#include <string.h>

/* --- Lines --- */

/* Feeds `bytes` in steps of `step`; the kinds of all lines as letters, and the last text. */
static const char *kinds_of(const char *bytes, size_t count, size_t step, char text[LINE_MOST + 1]) {
    static char kinds[64];
    struct line_reader reader = {0};
    size_t used = 0, taken;
    char line[LINE_MOST + 1];
    for (size_t at = 0; at < count; at += taken) {
        enum line_kind kind =
            line_take(&reader, bytes + at, at + step < count ? step : count - at, &taken, line);
        if (kind != LINE_NONE && used < sizeof kinds - 1) {
            kinds[used++] = "-TLJ"[kind];
            strcpy(text, line);
        }
    }
    kinds[used] = '\0';
    return kinds;
}

Test(line, ends_of_every_kind_and_blanks) {
    static const char given[] = "K3Q\r\n\tP12X \rdone\n\n]d1F13J\n";
    char text[LINE_MOST + 1];
    for (size_t step = 1; step < sizeof given; step++) {
        cr_assert_str_eq(kinds_of(given, sizeof given - 1, step, text), "TTTT", "in steps of %zu", step);
        cr_assert_str_eq(text, "F13J", "the scanner's own sign (ISO/IEC 15424) is taken off");
    }
}

Test(line, long_and_junk_lines_do_no_harm) {
    char given[3 * LINE_MOST], text[LINE_MOST + 1];
    memset(given, 'x', sizeof given);
    memcpy(given + sizeof given - 5, "\nK3Q\n", 5);
    cr_assert_str_eq(kinds_of(given, sizeof given, 7, text), "LT");
    cr_assert_str_eq(text, "K3Q", "what follows is read");
    cr_assert_str_eq(kinds_of("\xFF\xFE\n\x1b[2J\nK3Q\n", 13, 13, text), "JJT");
    cr_assert_str_eq(text, "K3Q");
}

Test(line, the_last_needs_no_end) {
    struct line_reader reader = {0};
    char text[LINE_MOST + 1];
    size_t taken;
    cr_assert_eq(line_take(&reader, "K3Q", 3, &taken, text), LINE_NONE);
    cr_assert_eq(line_rest(&reader, text), LINE_TEXT);
    cr_assert_str_eq(text, "K3Q");
    cr_assert_eq(line_rest(&reader, text), LINE_NONE);
}

/* --- What they mean --- */

Test(input, control_codes_are_codes_of_their_own_kind) {
    char text[CODE_TEXT];
    struct input input;
    struct code code;
    struct fault fault;
    size_t count = 0, keys = 0;
    for (const struct control *control; (control = control_at(count, text)) != NULL; count++) {
        cr_assert(code_read(text, &code, &fault));
        cr_assert_eq(code.kind, CODE_CONTROL);
        input_read(text, &input);
        cr_assert(input.kind == INPUT_WORD || input.kind == INPUT_KEY, "%s is not understood", text);
        keys += input.kind == INPUT_KEY;
        if (input.kind == INPUT_WORD) {
            enum bench_word scanned = input.word;
            input_read(control->name, &input);
            cr_assert_eq(input.word, scanned, "%s typed is not %s scanned", control->name, text);
        }
    }
    cr_assert_eq(count, 20);
    cr_assert_eq(keys, 11);
    code_write(CODE_CONTROL, 999, text);
    input_read(text, &input);
    cr_assert_eq(input.kind, INPUT_TEXT, "an unknown control does nothing");
}

Test(input, numbers_and_what_is_none) {
    long long count = -1;
    ell_length length = -1;
    cr_assert(input_count("12", &count) && count == 12);
    cr_assert(input_count("0", &count) && count == 0);
    cr_assert_not(input_count("5012345678900", &count), "another barcode");
    cr_assert_not(input_count("12.5", &count));
    cr_assert(input_length("22.5", "mm", &length) && length == 225);
    cr_assert(input_length("2.2", "cm", &length) && length == 220);
    cr_assert(input_length("2.2 cm", "mm", &length) && length == 220);
    cr_assert(input_length("1/2", "in", &length) && length == 127); /* an inch is 25.4 mm */
    cr_assert(input_length("1/2 in", "mm", &length) && length == 127);
    cr_assert_not(input_length("5012345678900", "mm", &length));
    cr_assert_not(input_length("22,5", "mm", &length));
    cr_assert_not(input_length("", "mm", &length));
}

/* --- The session --- */

/* Kit K1U wants (a) 5 of T1V from L1Q, (b) 10 m of cord and (d) 4 of T9N from L1Q, kit K2S (a, or c alone) 3 of T1V; K1U has a
 * piece. */
static json_t *kits(const char *left, const char *piece_state, const char *kit_state) {
    json_t *answer =
        json_pack("{s:[{s:s, s:s, s:s, s:s, s:[{s:s, s:s, s:f}]}, {s:s, s:s, s:s, s:s, s:[]}], s:[], s:[]}",
                  "kits", "kit", "K1U", "order", "A1", "window", "W1", "state", kit_state, "pieces", "code",
                  "P1A", "state", piece_state, "length", 2130.0, "kit", "K2S", "order", "A1", "window", "W2",
                  "state", "picking", "pieces", "stops", "short");
    json_t *stops = json_object_get(answer, "stops");
    if (strchr(left, 'a') != NULL)
        json_array_append_new(stops,
                              json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:i, s:[{s:s, s:i}, {s:s, s:i}]}",
                                        "bin", "A01", "code", "L1Q", "part", "GLIDER", "part_code", "T1V",
                                        "name", "Glider", "unit", "each", "quantity", 8, "split", "kit",
                                        "K1U", "quantity", 5, "kit", "K2S", "quantity", 3));
    if (strchr(left, 'c') != NULL)
        json_array_append_new(stops,
                              json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:i, s:[{s:s, s:i}]}", "bin", "A01",
                                        "code", "L1Q", "part", "GLIDER", "part_code", "T1V", "name", "Glider",
                                        "unit", "each", "quantity", 3, "split", "kit", "K2S", "quantity", 3));
    if (strchr(left, 'd') != NULL)
        json_array_append_new(stops,
                              json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:i, s:[{s:s, s:i}]}", "bin", "A01",
                                        "code", "L1Q", "part", "SCREW", "part_code", "T9N", "name", "Screw",
                                        "unit", "each", "quantity", 4, "split", "kit", "K1U", "quantity", 4));
    if (strchr(left, 'b') != NULL)
        json_array_append_new(stops, json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:s, s:f, s:[{s:s, s:f}]}",
                                               "bin", "B1", "code", "L2O", "part", "CORD", "part_code", "T2T",
                                               "name", "Cord", "unit", "length", "batch", "R1", "quantity",
                                               10000.0, "split", "kit", "K1U", "quantity", 10000.0));
    return answer;
}

static struct bench bench;

static void line(const char *text) {
    const char *verb;
    const json_t *body;
    cr_assert_not(bench_request(&bench, &verb, &body), "%s is still to be asked before %s", verb, text);
    bench_line(&bench, LINE_TEXT, text);
}

/* The request must be `verb` with `body` (NULL: any), and gets `answer` (taken over). */
static void asked(const char *verb, const char *body, json_t *answer) {
    const char *given_verb;
    const json_t *given;
    cr_assert(bench_request(&bench, &given_verb, &given), "nothing is asked, but: %s", bench.said);
    cr_assert_str_eq(given_verb, verb);
    json_t *wanted = body != NULL ? json_loads(body, 0, NULL) : NULL;
    if (body != NULL)
        cr_assert(json_equal(wanted, given), "asked with %s", json_dumps(given, 0));
    json_decref(wanted);
    bench_answer(&bench, answer);
    json_decref(answer);
}

static void told(enum bench_outcome outcome, const char *words) {
    const char *verb;
    const json_t *body;
    cr_assert_not(bench_request(&bench, &verb, &body), "%s is still to be asked", verb);
    cr_assert_eq(bench.outcome, outcome, "%s", bench.said);
    cr_assert_not_null(strstr(bench.said, words), "said: %s", bench.said);
}

static void next_is(const char *words) {
    char text[BENCH_TEXT];
    bench_next(&bench, text);
    cr_assert_not_null(strstr(text, words), "next: %s", text);
}

static void take_kits(void) {
    bench_open(&bench, "mm");
    line("K1U");
    asked("kit.show", "{\"kits\": [\"K1U\"]}", kits("ab", "cut", "waiting"));
    told(BENCH_TOLD, "");
}

Test(session, a_bin_then_each_kit_that_it_is_for) {
    take_kits();
    next_is("Go to bin A01: take 8 of Glider");
    line("l1q");
    next_is("take 5 of Glider. Then scan kit K1U");
    line("K1U");
    asked("kit.pick", "{\"kit\": \"K1U\", \"part\": \"T1V\", \"bin\": \"L1Q\", \"quantity\": 5}",
          json_pack("{s:s}", "kit", "K1U"));
    asked("kit.show", "{\"kits\": [\"K1U\", \"K2S\"]}", kits("b", "cut", "picking"));
    told(BENCH_DONE, "Picked 5 of Glider from A01 into K1U");
    cr_assert_str_eq(bench.bin, "", "the bin is done with");
    next_is("Go to bin B1: cut 10000 mm of Cord, reel R1");
    bench_close(&bench);
}

/* Scanners read twice when they are held too long. */
Test(session, a_kit_that_is_read_twice_is_not_picked_twice) {
    take_kits();
    line("L1Q");
    line("K1U");
    asked("kit.pick", NULL, json_pack("{s:s}", "kit", "K1U"));
    asked("kit.show", NULL, kits("cd", "cut", "picking"));
    told(BENCH_DONE, "into K1U");
    next_is("take 3 of Glider. Then scan kit K2S");
    line("K1U"); /* though the same bin has screws for it */
    asked("kit.show", NULL, kits("cd", "cut", "picking"));
    told(BENCH_REFUSED, "wants no Glider");
    line("K2S");
    asked("kit.pick", NULL, json_pack("{s:s}", "kit", "K2S"));
    asked("kit.show", NULL, kits("d", "cut", "picking"));
    next_is("Go to bin A01: take 4 of Screw");
    line("K1U");
    asked("kit.show", NULL, kits("d", "cut", "picking"));
    told(BENCH_TOLD, "in hand already");
    line("L1Q");
    line("1");
    line("K1U");
    asked("kit.pick", NULL, json_pack("{s:s}", "kit", "K1U"));
    asked("kit.show", NULL, kits("d", "cut", "picking"));
    cr_assert_str_eq(bench.bin, "", "a part of the quantity: the rest wants the bin once more");
    bench_close(&bench);
}

Test(session, a_number_first_changes_the_quantity_and_a_refusal_loses_nothing) {
    take_kits();
    line("7");
    line("A01"); /* its own name, typed */
    line("K1U");
    const char *verb;
    const json_t *body;
    cr_assert(bench_request(&bench, &verb, &body));
    cr_assert_eq(json_integer_value(json_object_get(body, "quantity")), 7);
    bench_refusal(&bench, "wrong-quantity", "This kit wants 5 more of Glider, not 7.");
    asked("kit.show", NULL, kits("ab", "cut", "waiting"));
    told(BENCH_REFUSED, "wants 5 more");
    cr_assert_str_eq(bench.bin, "L1Q", "the bin is still the one in hand");
    next_is("take 5 of Glider");
    /* Scanned figure by figure: X16, X10 is 60. */
    char code[CODE_TEXT];
    line(code_write(CODE_CONTROL, 16, code));
    line(code_write(CODE_CONTROL, 10, code));
    cr_assert_str_eq(bench.number, "60");
    line("undo");
    cr_assert_str_eq(bench.number, "");
    line("5012345678900");
    told(BENCH_REFUSED, "another barcode");
    bench_close(&bench);
}

Test(session, what_is_not_for_these_kits_is_refused_here) {
    take_kits();
    line("L1Q");
    line("K9E");
    told(BENCH_REFUSED, "K9E is not in hand");
    line("T2T");
    told(BENCH_REFUSED, "not taken from this bin but from bin B1");
    line("L3M");
    asked("kit.show", NULL, kits("ab", "cut", "waiting"));
    asked("scan.look", "{\"code\": \"L3M\"}", json_pack("{s:s}", "name", "Bin C9"));
    told(BENCH_REFUSED, "Bin C9: nothing of it");
    line("C1P");
    told(BENCH_REFUSED, "STOP");
    line("nonsense");
    told(BENCH_REFUSED, "neither a code");
    cr_assert_eq(bench.hand, HAND_KITS);
    bench_close(&bench);
}

Test(session, goods_that_came_in_since_are_found) {
    bench_open(&bench, "mm");
    line("K1U");
    asked("kit.show", NULL, kits("b", "cut", "waiting"));
    line("L1Q");
    asked("kit.show", NULL, kits("ab", "cut", "waiting"));
    told(BENCH_TOLD, "Bin A01");
    cr_assert_str_eq(bench.bin, "L1Q");
    bench_close(&bench);
}

Test(session, a_kit_scanned_again_is_looked_at_again) {
    bench_open(&bench, "mm");
    line("K1U");
    asked("kit.show", NULL, kits("", "released", "complete"));
    next_is("not cut yet");
    line("K1U");
    asked("kit.show", NULL, kits("", "cut", "complete"));
    told(BENCH_TOLD, "in hand already");
    next_is("Fetch piece P1A");
    bench_close(&bench);
}

Test(session, short_asks_how_many_there_are) {
    take_kits();
    line("short");
    told(BENCH_REFUSED, "Scan the bin");
    line("L1Q");
    line("SHORT");
    next_is("How many");
    line("K1U");
    told(BENCH_REFUSED, "a question is open");
    line("4");
    asked("kit.short", "{\"kit\": \"K1U\", \"part\": \"T1V\", \"bin\": \"L1Q\", \"found\": 4}",
          json_pack("{s:{s:s}}", "kit", "kit", "K1U"));
    asked("kit.show", NULL, kits("ab", "cut", "waiting"));
    told(BENCH_DONE, "bin A01 holds 4 of Glider");
    line("undo");
    told(BENCH_REFUSED, "stock adjust");
    bench_close(&bench);
}

Test(session, pieces_are_matched_and_the_kit_packed) {
    bench_open(&bench, "mm");
    line("K1U");
    asked("kit.show", NULL, kits("", "cut", "complete"));
    next_is("Fetch piece P1A");
    line("P1A");
    asked("kit.match", "{\"kit\": \"K1U\", \"piece\": \"P1A\"}", json_pack("{s:{s:s}}", "kit", "kit", "K1U"));
    asked("kit.show", NULL, kits("", "matched", "complete"));
    told(BENCH_DONE, "P1A is with kit K1U");
    next_is("scan DONE");
    line("done");
    asked("kit.pack", "{\"kit\": \"K1U\"}", json_pack("{s:s, s:s}", "kit", "K1U", "order_state", "packed"));
    asked("kit.show", "{\"kits\": [\"K2S\"]}", kits("", "matched", "complete"));
    told(BENCH_DONE, "order is packed whole");
    line("undo");
    asked("kit.unpack", "{\"kit\": \"K1U\", \"reason\": \"taken back at the bench\"}", json_object());
    asked("kit.show", NULL, kits("", "matched", "complete"));
    told(BENCH_DONE, "K1U is open again");
    line("undo");
    asked("kit.unmatch", NULL, json_object());
    asked("kit.show", NULL, kits("", "cut", "complete"));
    told(BENCH_DONE, "P1A is not with kit K1U");
    line("undo");
    told(BENCH_REFUSED, "nothing of this session");
    bench_close(&bench);
}

Test(session, a_pick_is_undone_with_its_own_quantity) {
    take_kits();
    line("T2T");
    line("2.5 m");
    line("K1U");
    asked("kit.pick", NULL, json_pack("{s:s}", "kit", "K1U"));
    asked("kit.show", NULL, kits("a", "cut", "picking"));
    told(BENCH_DONE, "2500 mm of Cord");
    line("undo");
    asked("kit.put-back",
          "{\"kit\": \"K1U\", \"part\": \"T2T\", \"quantity\": 2500.0, \"reason\": \"taken back at the "
          "bench\"}",
          json_object());
    asked("kit.show", NULL, kits("ab", "cut", "waiting"));
    told(BENCH_DONE, "put 2500 mm of Cord of kit K1U back");
    bench_close(&bench);
}

/* --- The saw --- */

static json_t *plan(const char *state) {
    return json_pack("{s:i, s:s, s:[{s:s, s:s, s:s, s:f, s:f, s:f, s:f, s:b, s:[{s:s, s:f}, {s:s, s:f}]}, "
                     "{s:s, s:s, s:s, s:s}]}",
                     "plan", 7, "state", state, "bars", "code", "B1T", "kind", "bar", "state", state,
                     "length", 6000.0, "lead_trim", 10.0, "kerf", 2.2, "remainder", 185.6, "returns", 0,
                     "pieces", "code", "P1A", "length", 2900.0, "code", "P28", "length", 2900.0, "code",
                     "B2R", "kind", "bar", "state", state, "place", "rack 3");
}

static void take_bar(const char *unit) {
    bench_open(&bench, unit);
    line("B1T");
    asked("scan.look", NULL, json_pack("{s:s, s:i, s:s}", "code", "B1T", "plan", 7, "state", "bound"));
    asked("plan.show", "{\"plan\": 7}", plan("released"));
    told(BENCH_TOLD, "B1T is in hand");
}

Test(session, the_stop_and_the_marks_of_a_bar) {
    take_bar("mm");
    json_t *rows = bench_list(&bench);
    /* By hand: 10 + 2900 = 2910; 2910 + 2.2 + 2900 = 5812.2; 6000 - 5812.2 - 2.2 = 185.6. */
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(rows, 0), "b")), "2910 mm");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(rows, 1), "a")), "2900 mm");
    cr_assert_str_eq(json_string_value(json_object_get(json_array_get(rows, 1), "b")), "5812.2 mm");
    json_decref(rows);
    next_is("Square its end");
    bench_close(&bench);
}

Test(session, a_bar_is_cut_as_measured_in_the_persons_unit) {
    take_bar("in");
    line("spoiled");
    line("P9V");
    told(BENCH_REFUSED, "not cut from B1T");
    line("spoiled");
    line("P1A");
    line("7 1/2"); /* 7.5 x 25.4 */
    asked("bar.cut",
          "{\"bar\": \"B1T\", \"spoiled\": [\"P1A\"], \"confirmed\": false, \"remainder\": \"190.5\"}",
          json_pack("{s:f, s:n, s:i, s:b}", "remainder", 190.5, "offcut", "plan", 7, "plan_done", 0));
    asked("plan.show", NULL, plan("released"));
    told(BENCH_DONE, "is scrap");
    line("undo");
    told(BENCH_REFUSED, "B1T was cut");
    bench_close(&bench);
}

Test(session, a_measure_far_from_the_plan_is_taken_twice) {
    take_bar("mm");
    line("500");
    const char *verb;
    const json_t *body;
    cr_assert(bench_request(&bench, &verb, &body));
    bench_refusal(&bench, "check-measure", "Measure again.");
    told(BENCH_REFUSED, "500 mm was measured where 185.6 mm should be left");
    line("done");
    told(BENCH_REFUSED, "Measure what is left once more");
    line("700");
    asked("bar.cut", NULL, json_pack("{s:f, s:i, s:b}", "remainder", 700.0, "plan", 7, "plan_done", 1));
    told(BENCH_DONE, "The plan is done");
    bench_close(&bench);
    take_bar("mm");
    line("500");
    cr_assert(bench_request(&bench, &verb, &body));
    bench_refusal(&bench, "check-measure", "Measure again.");
    line("500.5");
    cr_assert(bench_request(&bench, &verb, &body));
    cr_assert(json_is_true(json_object_get(body, "confirmed")), "measured twice alike");
    bench_close(&bench);
}

Test(session, a_plan_that_is_not_released_is_not_cut) {
    bench_open(&bench, "mm");
    line("B1T");
    asked("scan.look", NULL, json_pack("{s:s, s:i}", "code", "B1T", "plan", 7));
    asked("plan.show", NULL, plan("ready"));
    told(BENCH_REFUSED, "release it");
    cr_assert_eq(bench.hand, HAND_EMPTY);
    bench_close(&bench);
}

/* --- The rack and parcels --- */

Test(session, nothing_is_written_off_without_reason_and_confirmation) {
    bench_open(&bench, "mm");
    line("lost");
    told(BENCH_REFUSED, "first");
    line("F39");
    asked("scan.look", NULL,
          json_pack("{s:s, s:s, s:s, s:s}", "code", "F39", "name", "Offcut", "state", "on-rack", "place",
                    "rack 5-1"));
    told(BENCH_TOLD, "lies at rack 5-1");
    line("write-off");
    told(BENCH_REFUSED, "Say why");
    line("damaged");
    next_is("DONE writes it off");
    line("undo");
    told(BENCH_TOLD, "Nothing was booked");
    line("write-off bent by the door");
    line("done");
    asked("rack.write-off", "{\"bar\": \"F39\", \"reason\": \"bent by the door\"}", json_object());
    told(BENCH_DONE, "written off");
    bench_close(&bench);
}

Test(session, parcels_go_one_by_one) {
    bench_open(&bench, "mm");
    line("C1P");
    asked("parcel.send", "{\"parcel\": \"C1P\"}", json_pack("{s:s, s:[s]}", "order", "A1", "left", "C2N"));
    told(BENCH_DONE, "has gone");
    next_is("Still here of order A1: C2N");
    line("C2N");
    asked("parcel.send", NULL, json_pack("{s:s, s:[]}", "order", "A1", "left"));
    told(BENCH_DONE, "dispatched");
    bench_close(&bench);
}
