/* What is in hand and what to scan next, in words. SPDX-License-Identifier: Apache-2.0 */
#include "bench/inner.h"

#include <string.h>

static const json_t *first_share(const json_t *stop) {
    return json_array_get(json_object_get(stop, "split"), 0);
}

static bool stop_is_open(const struct bench *bench) {
    return bench->bin[0] != '\0' || bench->part[0] != '\0';
}

/* --- In hand --- */

/* Each by its name while they are few. */
static void kits_in_hand(const struct bench *bench, char text[BENCH_TEXT]) {
    enum { NAMED = 6 };
    const json_t *kits = json_object_get(bench->shown, "kits");
    size_t count = json_array_size(kits), stops = json_array_size(json_object_get(bench->shown, "stops"));
    bench_print(text, BENCH_TEXT, "%s in hand:", count == 1 ? "Kit" : "Kits");
    for (size_t i = 0; i < count && i < NAMED; i++) {
        const json_t *kit = json_array_get(kits, i);
        size_t used = strlen(text);
        bench_print(text + used, BENCH_TEXT - used, "%s %s (%s %s)", i > 0 ? "," : "", bench_text(kit, "kit"),
                    bench_text(kit, "order"), bench_text(kit, "window"));
    }
    size_t used = strlen(text);
    if (count > NAMED)
        bench_print(text + used, BENCH_TEXT - used, " and %zu more", count - NAMED);
    used = strlen(text);
    if (stops > 0)
        bench_print(text + used, BENCH_TEXT - used, "; %zu %s to go", stops, stops == 1 ? "stop" : "stops");
}

static void bar_in_hand(const struct bench *bench, char text[BENCH_TEXT]) {
    const json_t *bar = bench_bar(bench);
    char length[BENCH_NAME], rest[BENCH_NAME];
    size_t pieces = json_array_size(json_object_get(bar, "pieces"));
    bench_length_text(bench, json_number_value(json_object_get(bar, "length")), length);
    bench_length_text(bench, json_number_value(json_object_get(bar, "remainder")), rest);
    bench_print(text, BENCH_TEXT, "%s %s in hand, %s, plan %" JSON_INTEGER_FORMAT ": %zu %s, %s to be left%s",
                strcmp(bench_text(bar, "kind"), "offcut") == 0 ? "Offcut" : "Bar", bench->bar, length,
                json_integer_value(json_object_get(bench->shown, "plan")), pieces,
                pieces == 1 ? "piece" : "pieces", rest,
                json_is_true(json_object_get(bar, "returns")) ? " (to the rack)" : " (scrap)");
    for (int i = 0; i < bench->spoiled_count; i++) {
        size_t used = strlen(text);
        bench_print(text + used, BENCH_TEXT - used, "%s %s", i == 0 ? "; spoiled:" : "", bench->spoiled[i]);
    }
}

void bench_in_hand(const struct bench *bench, char text[BENCH_TEXT]) {
    switch (bench->hand) {
    case HAND_KITS:
        kits_in_hand(bench, text);
        break;
    case HAND_BAR:
        bar_in_hand(bench, text);
        break;
    case HAND_RACK:
        bench_print(text, BENCH_TEXT, "%s in hand, on the rack", bench->bar);
        break;
    case HAND_PARCELS:
        bench_print(text, BENCH_TEXT, "Parcels of order %s", bench->order);
        break;
    case HAND_EMPTY:
        bench_print(text, BENCH_TEXT, "Nothing in hand");
        break;
    }
}

/* --- Next --- */

/* A part by length is one cut off one reel; its batch is the reel. */
static void take_words(const struct bench *bench, const json_t *stop, const json_t *quantity,
                       char text[BENCH_TEXT]) {
    char words[BENCH_NAME];
    const char *batch = bench_text(stop, "batch"), *replaces = bench_text(stop, "replaces");
    bool by_length = strcmp(bench_text(stop, "unit"), "length") == 0;
    bench_quantity(bench, stop, quantity, words);
    bench_print(text, BENCH_TEXT, "%s %s of %s%s%s%s%s", by_length ? "cut" : "take",
                bench->number[0] != '\0' ? bench->number : words, bench_text(stop, "name"),
                batch[0] != '\0' ? (by_length ? ", reel " : ", batch ") : "", batch,
                replaces[0] != '\0' ? ", instead of " : "", replaces);
}

static void next_stop(const struct bench *bench, char text[BENCH_TEXT]) {
    const json_t *stop = kits_stop(bench), *share = first_share(stop);
    size_t shares = json_array_size(json_object_get(stop, "split"));
    char take[BENCH_TEXT];
    if (stop_is_open(bench)) {
        take_words(bench, stop, json_object_get(share, "quantity"), take);
        bench_print(text, BENCH_TEXT, "Bin %s: %s. Then scan kit %s.", bench_text(stop, "bin"), take,
                    bench_text(share, "kit"));
    } else {
        take_words(bench, stop, json_object_get(stop, "quantity"), take);
        bench_print(text, BENCH_TEXT, "Go to bin %s: %s%s. Scan the bin.", bench_text(stop, "bin"), take,
                    shares > 1 ? ", for several kits" : "");
    }
}

static void next_for_kits(const struct bench *bench, char text[BENCH_TEXT]) {
    const json_t *kit = NULL, *piece = kits_piece_left(bench, &kit);
    const json_t *lacking = json_array_get(json_object_get(bench->shown, "short"), 0);
    char words[BENCH_NAME];
    if (kits_stop(bench) != NULL) {
        next_stop(bench, text);
    } else if (piece != NULL && strcmp(bench_text(piece, "state"), "cut") == 0) {
        bench_length_text(bench, json_number_value(json_object_get(piece, "length")), words);
        bench_print(text, BENCH_TEXT, "Fetch piece %s, %s, for kit %s, and scan it.",
                    bench_text(piece, "code"), words, bench_text(kit, "kit"));
    } else if (lacking != NULL) {
        bench_quantity(bench, lacking, json_object_get(lacking, "quantity"), words);
        bench_print(text, BENCH_TEXT, "Kit %s waits for %s of %s, which is short. STOP lays it aside.",
                    bench_text(lacking, "kit"), words, bench_text(lacking, "name"));
    } else if (piece != NULL) {
        bench_print(text, BENCH_TEXT, "Kit %s waits for piece %s, which is not cut yet. STOP lays it aside.",
                    bench_text(kit, "kit"), bench_text(piece, "code"));
    } else {
        bench_print(text, BENCH_TEXT, "All is there. Close the %s and scan DONE.",
                    json_array_size(bench->kits) == 1 ? "kit" : "kits");
    }
}

static bool next_for_question(const struct bench *bench, char text[BENCH_TEXT]) {
    static const char *const texts[] = {
        [ASK_NOTHING] = NULL,
        [ASK_FOUND] = "How many lie in that bin in all? Type the number (or scan its figures, then DONE).",
        [ASK_SPOILED] = "Scan the spoiled piece. UNDO leaves it.",
        [ASK_RECUT] = "DONE sends it back to be cut again. UNDO leaves it.",
        [ASK_WRITE_OFF] = "DONE writes it off. UNDO leaves it.",
        [ASK_MEASURE] = "Measure what is left once more, blade at rest, saw off, and type it.",
    };
    const char *found = texts[bench->question];
    if (found == NULL)
        return false;
    bench_print(text, BENCH_TEXT, "%s%s%s", bench->number, bench->number[0] != '\0' ? ": " : "", found);
    return true;
}

void bench_next(const struct bench *bench, char text[BENCH_TEXT]) {
    if (next_for_question(bench, text))
        return;
    switch (bench->hand) {
    case HAND_KITS:
        next_for_kits(bench, text);
        break;
    case HAND_BAR:
        if (bench->number[0] != '\0')
            bench_print(text, BENCH_TEXT, "%s is left? DONE takes it. UNDO forgets it.", bench->number);
        else
            bench_print(text, BENCH_TEXT,
                        "%s. Blade at rest, saw off: measure what is left, and type it; DONE when it "
                        "is as planned. SPOILED before a mis-cut piece.",
                        json_number_value(json_object_get(bench_bar(bench), "lead_trim")) > 0
                            ? "Square its end, then cut it"
                            : "Its end is square: cut it");
        break;
    case HAND_RACK:
        bench_print(text, BENCH_TEXT, "LOST or DAMAGED to write it off. Else scan on.");
        break;
    case HAND_PARCELS:
    case HAND_EMPTY:
        bench_print(text, BENCH_TEXT, "%s",
                    bench->hint[0] != '\0' ? bench->hint : "Scan a kit, a bar or a parcel.");
        break;
    }
}

/* --- From afar --- */

void bench_big(const struct bench *bench, char text[BENCH_BIG]) {
    const json_t *stop = kits_stop(bench), *kit = NULL, *piece = kits_piece_left(bench, &kit);
    char words[BENCH_NAME];
    text[0] = '\0';
    if (bench->question != ASK_NOTHING || bench->hand == HAND_BAR) {
        bench_print(text, BENCH_BIG, "%s", bench->number);
    } else if (bench->hand == HAND_KITS && stop != NULL) {
        const json_t *share = first_share(stop);
        bool open = stop_is_open(bench);
        bench_quantity(bench, stop, json_object_get(open ? share : stop, "quantity"), words);
        if (bench->number[0] != '\0')
            bench_print(words, sizeof words, "%s", bench->number);
        if (open)
            bench_print(text, BENCH_BIG, "%s > %s", words, bench_text(share, "kit"));
        else
            bench_print(text, BENCH_BIG, "%s  %s", bench_text(stop, "bin"), words);
    } else if (bench->hand == HAND_KITS && piece != NULL) {
        bench_print(text, BENCH_BIG, "%s",
                    strcmp(bench_text(piece, "state"), "cut") == 0 ? bench_text(piece, "code") : "");
    } else if (bench->hand == HAND_KITS && json_array_size(json_object_get(bench->shown, "short")) == 0) {
        bench_print(text, BENCH_BIG, "DONE");
    }
}

/* --- What comes after --- */

static json_t *row_of(const char *a, const char *b, const char *c, const char *d) {
    return json_pack("{s:s, s:s, s:s, s:s}", "a", a, "b", b, "c", c, "d", d);
}

static json_t *list_kits(const struct bench *bench) {
    json_t *rows = json_array();
    const json_t *stops = json_object_get(bench->shown, "stops"), *first = kits_stop(bench);
    for (size_t pass = 0; pass < 2; pass++)
        for (size_t i = 0; i < json_array_size(stops); i++) {
            const json_t *stop = json_array_get(stops, i), *split = json_object_get(stop, "split");
            char quantity[BENCH_NAME], into[BENCH_NAME] = "";
            if ((pass == 0) != (stop == first))
                continue;
            bench_quantity(bench, stop, json_object_get(stop, "quantity"), quantity);
            for (size_t s = 0; s < json_array_size(split); s++) {
                size_t used = strlen(into);
                bench_print(into + used, sizeof into - used, "%s%s", s > 0 ? ", " : "",
                            bench_text(json_array_get(split, s), "kit"));
            }
            json_array_append_new(rows,
                                  row_of(bench_text(stop, "bin"), quantity, bench_text(stop, "name"), into));
        }
    return rows;
}

/* Where the stop stands for each cut, and where the cut falls along the bar. */
static json_t *list_bar(const struct bench *bench) {
    json_t *rows = json_array();
    const json_t *bar = bench_bar(bench), *pieces = json_object_get(bar, "pieces");
    double at = json_number_value(json_object_get(bar, "lead_trim"));
    double kerf = json_number_value(json_object_get(bar, "kerf"));
    for (size_t i = 0; i < json_array_size(pieces); i++) {
        const json_t *piece = json_array_get(pieces, i);
        double length = json_number_value(json_object_get(piece, "length"));
        char stop[BENCH_NAME], mark[BENCH_NAME], name[2 * BENCH_NAME];
        at += length;
        bench_length_text(bench, length, stop);
        bench_length_text(bench, at, mark);
        bench_print(name, sizeof name, "%s %s", bench_text(piece, "order"), bench_text(piece, "window"));
        json_array_append_new(rows, row_of(stop, mark, bench_text(piece, "code"), name));
        at += kerf;
    }
    return rows;
}

/* What lies in a bin, or where a part lies. */
static json_t *list_found(const struct bench *bench) {
    json_t *rows = json_array();
    const json_t *parts = json_object_get(bench->shown, "parts"),
                 *bins = json_object_get(bench->shown, "bins");
    const json_t *found = parts != NULL ? parts : bins;
    for (size_t i = 0; i < json_array_size(found); i++) {
        const json_t *row = json_array_get(found, i);
        char quantity[BENCH_NAME];
        bench_quantity(bench, parts != NULL ? row : bench->shown, json_object_get(row, "on_hand"), quantity);
        json_array_append_new(rows, row_of(bench_text(row, parts != NULL ? "part" : "bin"), quantity,
                                           bench_text(row, "name"), bench_text(row, "batch")));
    }
    return rows;
}

json_t *bench_list(const struct bench *bench) {
    return bench->hand == HAND_KITS  ? list_kits(bench)
           : bench->hand == HAND_BAR ? list_bar(bench)
                                     : list_found(bench);
}
