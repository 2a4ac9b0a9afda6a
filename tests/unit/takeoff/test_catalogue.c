/* A catalogue is taken whole or refused with table, row and reason. SPDX-License-Identifier: Apache-2.0 */
#include "demo.h"

#include <criterion/criterion.h>
#include <string.h>

static size_t row(const char *step) {
    return strtoul(step, NULL, 10);
}

/* The value at "systems/0/rules/2", or its parent and the last step. */
static json_t *step_to(json_t *root, const char *path, char last[64]) {
    char copy[128], *rest = NULL;
    json_t *at = root;
    snprintf(copy, sizeof copy, "%s", path);
    for (char *step = strtok_r(copy, "/", &rest); step != NULL;) {
        char *next = strtok_r(NULL, "/", &rest);
        if (next == NULL) {
            snprintf(last, 64, "%s", step);
            return at;
        }
        at = json_is_array(at) ? json_array_get(at, row(step)) : json_object_get(at, step);
        step = next;
    }
    return at;
}

/* Puts JSON text at `path`; "" takes the field out. An index one past the end of a list appends. */
static void change(json_t *root, const char *path, const char *text) {
    char last[64];
    json_t *parent = step_to(root, path, last);
    cr_assert_not_null(parent, "%s leads nowhere", path);
    if (text[0] == '\0') {
        cr_assert_eq(json_object_del(parent, last), 0, "%s is not there", path);
        return;
    }
    json_t *value = json_loads(text, JSON_DECODE_ANY, NULL);
    cr_assert_not_null(value, "%s is not JSON", text);
    if (!json_is_array(parent))
        cr_assert_eq(json_object_set_new(parent, last, value), 0, "%s", path);
    else if (row(last) == json_array_size(parent))
        cr_assert_eq(json_array_append_new(parent, value), 0, "%s", path);
    else
        cr_assert_eq(json_array_set_new(parent, row(last), value), 0, "%s", path);
}

struct wrong {
    const char *path, *text, *code, *where;
};

static const struct wrong wrongs[] = {
    /* shapes and bounds */
    {"finishes", "[]", "out-of-range", "finishes"},
    {"finishes/0/name", "", "missing-field", "finishes[0].name"},
    {"finishes/1/code", "\"WH\"", "twice-named", "finishes[1]"},
    {"finishes/0/colour", "1", "unknown-field", "finishes[0].colour"},
    {"parts/3/unit", "\"dozen\"", "unknown-choice", "parts[3].unit"},
    {"parts/3/role", "\"gadget\"", "unknown-choice", "parts[3].role"},
    {"parts/0/supplier", "\"NOBODY\"", "unknown-supplier", "parts[0].supplier"},
    {"parts/0/price", "-1", "out-of-range", "parts[0].price"},
    {"systems/0/allowances/side", "-150", "out-of-range", "systems[0].allowances.side"},
    {"systems/0/allowances/above_least", "101", "out-of-range", "systems[0].allowances.above_least"},
    {"systems/0/brackets/spacing_most", "200", "out-of-range", "systems[0].brackets.spacing_most"},
    {"systems/0/brackets/end_most", "10", "out-of-range", "systems[0].brackets.end_most"},
    {"systems/0/brackets", "", "wrong-type", "systems[0].brackets"},
    {"systems/0/profile/inertia", "0", "out-of-range", "systems[0].profile.inertia"},
    {"systems/0/bars/1/length", "\"long\"", "bad-length", "systems[0].bars[1].length"},
    {"systems/0/bars/1/length", "-5000", "out-of-range", "systems[0].bars[1].length"},
    {"systems/0/longest_piece", "6001", "out-of-range", "systems[0].longest_piece"},
    {"systems/0/longest_track", "249", "out-of-range", "systems[0].longest_track"},
    {"systems/0/finishes", "[\"PINK\"]", "unknown-choice", "systems[0].finishes"},
    {"systems/0/cord", "{}", "out-of-range", "systems[0].cord"},
    {"systems/1/cord", "", "out-of-range", "systems[1].cord"},
    {"practice/width", "{\"least\": 500, \"most\": 400}", "out-of-range", "practice.width.most"},
    {"practice", "", "wrong-type", "practice"},
    {"saws/0/kerf", "-1", "out-of-range", "saws[0].kerf"},
    {"saws/0/gang", "0", "out-of-range", "saws[0].gang"},
    {"label_stocks/0/width", "0", "out-of-range", "label_stocks[0].width"},
    {"headings/0/packing", "\"thick\"", "wrong-type", "headings[0].packing"},
    /* what refers to what */
    {"systems/0/rules/0/part", "\"NO-SUCH\"", "unknown-part", "systems[0].rules[0].part"},
    {"systems/0/rules/0/per", "\"dozen\"", "unknown-choice", "systems[0].rules[0].per"},
    {"systems/0/rules/0/quantity", "0", "out-of-range", "systems[0].rules[0].quantity"},
    {"systems/0/rules/0/when", "{\"finish\": [\"PINK\"]}", "unknown-choice",
     "systems[0].rules[0].when.finish"},
    {"systems/0/rules/0/when", "{\"finish\": []}", "out-of-range", "systems[0].rules[0].when.finish"},
    {"systems/0/rules/0/when", "{\"from\": 2000, \"below\": 1000}", "out-of-range",
     "systems[0].rules[0].when.below"},
    {"systems/0/rules/0/per", "\"cord\"", "out-of-range", "systems[0].rules[0].per"},
    {"systems/0/fixings/0/screw", "\"NO-SUCH\"", "unknown-part", "systems[0].fixings[0].screw"},
    {"systems/0/fixings/0/screw", "\"CORD-25\"", "out-of-range", "systems[0].fixings[0]"},
    {"systems/0/fixings/0/substrate", "\"cheese\"", "unknown-substrate", "systems[0].fixings[0].substrate"},
    {"systems/0/fixings/1/substrate", "\"timber-batten\"", "overlapping-rules", "systems[0].fixings[1]"},
    /* rules that would put two parts in one place */
    {"systems/0/rules/1/when", "{\"position\": [\"face\"]}", "overlapping-rules", "systems[0].rules[1].when"},
    {"systems/0/rules/0/when", "{\"finish\": [\"BZ\"]}", "overlapping-rules", "systems[0].rules[1].when"},
    /* rules that leave a kit without what it needs */
    {"systems/0/rules/3/when", "{\"finish\": [\"WH\"], \"place\": [\"inside\"]}", "missing-part",
     "systems[0].rules"},
    {"systems/0/rules/3/when", "{\"finish\": [\"WH\"], \"from\": 1000}", "missing-part", "systems[0].rules"},
    {"systems/1/finishes", "[\"WH\", \"SI\", \"BZ\"]", "missing-part", "systems[1].rules"},
    /* parts that need each other */
    {"parts/0/needs", "[{\"part\": \"LK-BASE-WH\", \"quantity\": 1}]", "circular-part", "parts[0].needs"},
    {"parts/0/needs", "[{\"part\": \"NO-SUCH\", \"quantity\": 1}]", "unknown-part", "parts[0].needs[0].part"},
    {"parts/0/needs", "[{\"part\": \"LK-STOP-WH\", \"quantity\": -1}]", "out-of-range",
     "parts[0].needs[0].quantity"},
    {"parts/0/needs", "[{\"part\": \"CORD-25\", \"quantity\": 1}]", "out-of-range", "parts[0].needs"},
    /* boxes and substitutes: parts 0, 4 and 8 are the Lark base brackets, 1 a mounting bracket */
    {"parts/0/pack", "0", "out-of-range", "parts[0].pack"},
    {"parts/0/pack", "2.5", "wrong-type", "parts[0].pack"},
    {"parts/0/substitutes", "[{\"part\": \"NO-SUCH\"}]", "unknown-part", "parts[0].substitutes[0].part"},
    {"parts/0/substitutes", "[{\"part\": \"LK-BASE-WH\"}]", "circular-part", "parts[0].substitutes"},
    {"parts/0/substitutes", "[{\"part\": \"LK-BASE-BZ\"}, {\"part\": \"LK-BASE-BZ\"}]", "twice-named",
     "parts[0].substitutes[1].part"},
    {"parts/0/substitutes", "[{\"part\": \"LK-MOUNT-WH\"}]", "wrong-substitute",
     "parts[0].substitutes[0].part"},
    {"parts/0/substitutes", "[{\"part\": \"LK-BASE-BZ\", \"when\": {\"finish\": [\"PINK\"]}}]",
     "unknown-choice", "parts[0].substitutes[0].when.finish"},
    {"parts/0/substitutes", "[{\"part\": \"LK-BASE-BZ\", \"colour\": 1}]", "unknown-field",
     "parts[0].substitutes[0].colour"},
};

Test(catalogue, what_is_wrong_is_named_by_table_and_row) {
    json_t *document = demo_document();
    for (size_t i = 0; i < sizeof wrongs / sizeof wrongs[0]; i++) {
        const struct wrong *wrong = &wrongs[i];
        struct fault fault = {.code = ""};
        json_t *changed = json_deep_copy(document);
        change(changed, wrong->path, wrong->text);
        struct catalogue *catalogue = catalogue_read(changed, &fault);
        cr_assert_null(catalogue, "%s = %s was taken", wrong->path, wrong->text);
        cr_assert_str_eq(fault.code, wrong->code, "%s = %s: %s at %s: %s", wrong->path, wrong->text,
                         fault.code, fault.where, fault.message);
        cr_assert_str_eq(fault.where, wrong->where, "%s = %s: %s at %s: %s", wrong->path, wrong->text,
                         fault.code, fault.where, fault.message);
        cr_assert_gt(strlen(fault.message), 10, "%s: no reason is given", wrong->path);
        json_decref(changed);
    }
    json_decref(document);
}

static size_t row_of(const json_t *document, const char *table, const char *code) {
    size_t index;
    const json_t *row;
    json_array_foreach(json_object_get(document, table), index, row) {
        if (strcmp(json_string_value(json_object_get(row, "code")), code) == 0)
            return index;
    }
    cr_assert_fail("%s has no %s", table, code);
    return 0;
}

static void refused_as(json_t *document, const char *code) {
    struct fault fault = {.code = ""};
    struct catalogue *catalogue = catalogue_read(document, &fault);
    cr_assert_null(catalogue, "it was taken, though %s", code);
    cr_assert_str_eq(fault.code, code, "%s at %s: %s", fault.code, fault.where, fault.message);
    json_decref(document);
}

Test(catalogue, a_longer_circle_of_parts_is_found) {
    json_t *document = demo_document(), *parts = json_object_get(document, "parts");
    static const char *const ring[] = {"LK-GLIDER", "LK-LEAD", "WT-GLIDER", "LK-GLIDER"};
    for (size_t i = 0; i < 3; i++)
        json_object_set_new(json_array_get(parts, row_of(document, "parts", ring[i])), "needs",
                            json_pack("[{ss,si}]", "part", ring[i + 1], "quantity", 1));
    refused_as(document, "circular-part");
}

/* The list names what is needed before what needs it, so that depth shows only when the whole chain is followed. */
Test(catalogue, needs_go_three_deep_at_most) {
    json_t *document = demo_document(), *parts = json_object_get(document, "parts");
    static const char *const chain[] = {"LK-STOP-WH", "KT-SPLICE", "LK-GLIDER", "LK-LEAD", "WT-LEAD"};
    for (size_t i = 1; i < 4; i++)
        json_object_set_new(json_array_get(parts, row_of(document, "parts", chain[i])), "needs",
                            json_pack("[{ss,si}]", "part", chain[i - 1], "quantity", 1));
    struct fault fault;
    struct catalogue *catalogue = catalogue_read(document, &fault);
    cr_assert_not_null(catalogue, "three deep: %s", fault.message);
    catalogue_free(catalogue);
    json_object_set_new(json_array_get(parts, row_of(document, "parts", chain[4])), "needs",
                        json_pack("[{ss,si}]", "part", chain[3], "quantity", 1));
    refused_as(document, "out-of-range");
}

static void stand_in(json_t *document, const char *part, const char *other, bool safety) {
    json_t *row = json_array_get(json_object_get(document, "parts"), row_of(document, "parts", part));
    json_object_set_new(row, "substitutes", json_pack("[{ss,sb}]", "part", other, "safety", (int)safety));
}

Test(catalogue, substitutes_may_not_go_in_a_circle) {
    json_t *document = demo_document();
    stand_in(document, "LK-BASE-WH", "LK-BASE-BZ", false);
    stand_in(document, "LK-BASE-BZ", "LK-BASE-SI", false);
    struct fault fault;
    struct catalogue *catalogue = catalogue_read(document, &fault);
    cr_assert_not_null(catalogue, "a chain: %s", fault.message);
    catalogue_free(catalogue);
    stand_in(document, "LK-BASE-SI", "LK-BASE-WH", false);
    refused_as(document, "circular-part");
}

/* What stands in carries as much, and brings as much along. */
Test(catalogue, a_substitute_is_no_weaker_and_needs_the_same) {
    json_t *document = demo_document();
    stand_in(document, "KT-MOUNT-WH", "LK-MOUNT-WH", false); /* 95 N for 260 N */
    refused_as(document, "wrong-substitute");
    document = demo_document();
    json_t *arm = json_array_get(json_object_get(document, "parts"), row_of(document, "parts", "LK-ARM"));
    json_object_del(arm, "needs");
    stand_in(document, "LK-ARM", "WT-ARM", false);
    refused_as(document, "wrong-substitute");
}

/* Nothing takes the place of a tension pulley, its screws, or a wall fixing, unless the catalogue says so by name. */
Test(catalogue, safety_parts_have_no_substitute_but_by_name) {
    static const char *const pairs[][2] = {
        {"TENSION-S", "TENSION-L"}, {"SCREW-40-30", "SCREW-45-50"}, {"PLUG-7", "PLUG-8"}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        json_t *document = demo_document();
        stand_in(document, pairs[i][0], pairs[i][1], false);
        refused_as(document, "wrong-substitute");
        struct fault fault;
        document = demo_document();
        stand_in(document, pairs[i][0], pairs[i][1], true);
        struct catalogue *catalogue = catalogue_read(document, &fault);
        cr_assert_not_null(catalogue, "%s: %s", pairs[i][0], fault.message);
        catalogue_free(catalogue);
        json_decref(document);
    }
}

Test(catalogue, boxes_are_of_parts_that_are_counted) {
    json_t *document = demo_document();
    json_t *cord = json_array_get(json_object_get(document, "parts"), row_of(document, "parts", "CORD-25"));
    json_object_set_new(cord, "pack", json_integer(2));
    refused_as(document, "out-of-range");
}

Test(catalogue, reels_are_of_parts_by_length) {
    json_t *document = demo_document(), *parts = json_object_get(document, "parts");
    json_object_set_new(json_array_get(parts, row_of(document, "parts", "LK-GLIDER")), "reel",
                        json_integer(50000));
    refused_as(document, "out-of-range");
}

/* Invariant: a corded kit never goes out without its tension pulley and that pulley's screws. */
Test(catalogue, a_corded_system_cannot_be_left_without_its_tension_pulley) {
    json_t *document = demo_document();
    json_t *pulley =
        json_array_get(json_object_get(document, "parts"), row_of(document, "parts", "TENSION-S"));
    json_object_del(pulley, "needs");
    refused_as(document, "no-tension-pulley");

    document = demo_document();
    json_t *system =
        json_array_get(json_object_get(document, "systems"), row_of(document, "systems", "WREN"));
    json_t *rules = json_object_get(system, "rules"), *rule;
    size_t index;
    json_array_foreach(rules, index, rule) {
        if (strcmp(json_string_value(json_object_get(rule, "part")), "TENSION-S") == 0)
            json_object_set_new(rule, "when", json_pack("{s[s]}", "place", "outside"));
    }
    refused_as(document, "no-tension-pulley");

    document = demo_document();
    system = json_array_get(json_object_get(document, "systems"), row_of(document, "systems", "KITE"));
    rules = json_object_get(system, "rules");
    json_array_foreach(rules, index, rule) {
        if (strcmp(json_string_value(json_object_get(rule, "part")), "TENSION-L") == 0)
            json_object_set_new(rule, "when", json_pack("{s[s]}", "control", "cord-left"));
    }
    refused_as(document, "no-tension-pulley");
}

Test(catalogue, the_demonstration_says_that_it_is_invented) {
    struct catalogue *catalogue = demo_catalogue();
    cr_assert_not_null(strstr(catalogue->note, "invented"), "%s", catalogue->note);
    for (size_t i = 0; i < catalogue->part_count; i++)
        cr_assert(catalogue->parts[i].rating == 0 || catalogue->parts[i].invented, "%s",
                  catalogue->parts[i].code);
    for (size_t i = 0; i < catalogue->system_count; i++) {
        cr_assert(catalogue->systems[i].profile.invented, "%s", catalogue->systems[i].code);
        for (size_t j = 0; j < catalogue->systems[i].fixing_count; j++)
            cr_assert(catalogue->systems[i].fixings[j].invented, "%s %zu", catalogue->systems[i].code, j);
    }
    cr_assert_geq(catalogue->system_count, 3, "systems");
    cr_assert_geq(catalogue->finish_count, 3, "finishes");
    catalogue_free(catalogue);
}

Test(catalogue, rows_are_found_by_their_codes) {
    struct catalogue *catalogue = demo_catalogue();
    cr_assert_str_eq(catalogue_system(catalogue, "WREN")->code, "WREN", "system");
    cr_assert_null(catalogue_system(catalogue, "wren"), "codes are exact");
    cr_assert_eq(catalogue_finish(catalogue, "NONE"), SIZE_MAX, "finish");
    cr_assert_eq(catalogue_substrate(catalogue, "masonry"), 2, "substrate");
    cr_assert_str_eq(catalogue->parts[catalogue_part(catalogue, "CORD-25")].code, "CORD-25", "part");
    catalogue_free(catalogue);
    catalogue_free(NULL);
}
