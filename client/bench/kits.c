/* Stores: kits are picked along the walk, matched with their pieces, and packed. SPDX-License-Identifier: Apache-2.0 */
#include "bench/inner.h"

#include "common/text.h"

#include <string.h>
#include <strings.h>

static const json_t *stops(const struct bench *bench) {
    return json_object_get(bench->shown, "stops");
}

static bool is_chosen(const struct bench *bench, const json_t *stop) {
    return (bench->bin[0] == '\0' || strcmp(bench->bin, bench_text(stop, "code")) == 0) &&
           (bench->part[0] == '\0' || strcmp(bench->part, bench_text(stop, "part_code")) == 0);
}

const json_t *kits_stop(const struct bench *bench) {
    for (size_t i = 0; i < json_array_size(stops(bench)); i++)
        if (is_chosen(bench, json_array_get(stops(bench), i)))
            return json_array_get(stops(bench), i);
    return NULL;
}

static bool piece_is_in(const json_t *piece) {
    static const char *const in[] = {"matched", "dispatched", "cancelled"};
    bool is = false;
    for (size_t i = 0; i < sizeof in / sizeof in[0]; i++)
        is = is || strcmp(bench_text(piece, "state"), in[i]) == 0;
    return is;
}

const json_t *kits_piece_left(const struct bench *bench, const json_t **kit) {
    const json_t *kits = json_object_get(bench->shown, "kits");
    for (size_t i = 0; i < json_array_size(kits); i++) {
        *kit = json_array_get(kits, i);
        const json_t *pieces = json_object_get(*kit, "pieces");
        for (size_t n = 0; n < json_array_size(pieces); n++)
            if (!piece_is_in(json_array_get(pieces, n)))
                return json_array_get(pieces, n);
    }
    return NULL;
}

bool kits_ready(const json_t *kit) {
    const json_t *pieces = json_object_get(kit, "pieces");
    bool ready = strcmp(bench_text(kit, "state"), "complete") == 0;
    for (size_t i = 0; i < json_array_size(pieces); i++)
        ready = ready && piece_is_in(json_array_get(pieces, i));
    return ready;
}

/* --- How things stand --- */

/* What was chosen and is not on the walk any more is chosen no more. */
static void forget_gone(struct bench *bench) {
    if (kits_stop(bench) == NULL)
        bench->bin[0] = bench->part[0] = '\0';
}

static void take_shown(struct bench *bench, const json_t *answer) {
    const json_t *kits = json_object_get(answer, "kits");
    json_decref(bench->shown);
    bench->shown = json_deep_copy(answer);
    json_array_clear(bench->kits);
    for (size_t i = 0; i < json_array_size(kits) && i < BENCH_KITS; i++)
        json_array_append_new(bench->kits, json_string(bench_text(json_array_get(kits, i), "kit")));
    forget_gone(bench);
}

static void ask_shown(struct bench *bench, void (*then)(struct bench *bench, const json_t *answer)) {
    bench_ask(bench, "kit.show", json_pack("{s:o}", "kits", json_deep_copy(bench->kits)), then);
}

void kits_look(struct bench *bench) {
    if (json_array_size(bench->kits) > 0)
        ask_shown(bench, take_shown);
    else
        bench_lay_aside(bench);
}

/* --- A kit is taken in hand --- */

static bool holds(const struct bench *bench, const char *kit, size_t *place) {
    for (*place = 0; *place < json_array_size(bench->kits); ++*place)
        if (strcmp(json_string_value(json_array_get(bench->kits, *place)), kit) == 0)
            return true;
    return false;
}

/* Takes a kit out of those in hand. */
static void put_down(struct bench *bench, const char *kit) {
    size_t place;
    if (holds(bench, kit, &place))
        json_array_remove(bench->kits, place);
}

static void take_up(struct bench *bench, const char *kit) {
    size_t place;
    if (bench->hand != HAND_KITS)
        bench_lay_aside(bench);
    bench->hand = HAND_KITS;
    if (holds(bench, kit, &place))
        return;
    if (json_array_size(bench->kits) == BENCH_KITS)
        json_array_remove(bench->kits, 0);
    json_array_append_new(bench->kits, json_string(kit));
}

static void took_kit(struct bench *bench, const json_t *answer) {
    const json_t *kits = json_object_get(answer, "kits"),
                 *kit = json_array_get(kits, json_array_size(kits) - 1);
    const char *state = bench_text(kit, "state");
    bool open =
        strcmp(state, "waiting") == 0 || strcmp(state, "picking") == 0 || strcmp(state, "complete") == 0;
    if (!open) {
        bench_say(bench, BENCH_REFUSED, "Kit %s of order %s, window %s is %s; there is nothing to pick.",
                  bench_text(kit, "kit"), bench_text(kit, "order"), bench_text(kit, "window"),
                  state[0] != '\0' ? state : "not here");
        return;
    }
    if (bench->hand != HAND_KITS)
        bench_lay_aside(bench);
    bench->hand = HAND_KITS;
    take_shown(bench, answer);
    bench->fresh = true;
    bench_say(bench, BENCH_TOLD, "Kit %s of order %s, window %s is in hand.", bench_text(kit, "kit"),
              bench_text(kit, "order"), bench_text(kit, "window"));
}

/* The bin stays chosen for the kits that still get the same part from it, never for the one that was scanned: a scanner that
 * reads twice must not pick twice. */
static void look_after_pick(struct bench *bench, const json_t *answer) {
    take_shown(bench, answer);
    if (bench_find(json_object_get(kits_stop(bench), "split"), "kit", bench->asked) != NULL)
        bench->bin[0] = bench->part[0] = '\0';
}

static void picked(struct bench *bench, const json_t *answer) {
    const json_t *stop = kits_stop(bench), *quantity = json_object_get(bench->sent, "quantity");
    char words[BENCH_NAME], what[BENCH_NAME];
    bench_quantity(bench, stop, quantity, words);
    bench_print(what, sizeof what, "%s of %s", words, bench_text(stop, "name"));
    bench_did(bench, DEED_PICK, bench_text(answer, "kit"), bench_text(stop, "part_code"), what, quantity);
    bench_say(bench, BENCH_DONE, "Picked %s from %s into %s.", what, bench_text(stop, "bin"),
              bench_text(answer, "kit"));
    bench->number[0] = '\0';
    text_copy(bench->bin, sizeof bench->bin, bench_text(stop, "code"));
    text_copy(bench->part, sizeof bench->part, bench_text(stop, "part_code"));
    text_copy(bench->asked, sizeof bench->asked, bench_text(answer, "kit"));
    ask_shown(bench, look_after_pick);
}

/* What was typed, or what the walk says; NULL after saying what is wrong. */
static json_t *quantity_for(struct bench *bench, const json_t *stop, const char *kit) {
    const json_t *share = bench_find(json_object_get(stop, "split"), "kit", kit);
    bool by_length = strcmp(bench_text(stop, "unit"), "length") == 0;
    long long count;
    ell_length length;
    if (bench->number[0] == '\0' && share != NULL)
        return json_incref(json_object_get(share, "quantity"));
    if (bench->number[0] == '\0')
        bench_say(bench, BENCH_REFUSED, "Kit %s wants no %s from bin %s.", kit, bench_text(stop, "name"),
                  bench_text(stop, "bin"));
    else if (by_length && input_length(bench->number, bench->unit, &length))
        return json_real((double)length / ELL_MM);
    else if (!by_length && input_count(bench->number, &count))
        return json_integer(count);
    else
        bench_say(bench, BENCH_REFUSED, "%s is no quantity of %s.", bench->number, bench_text(stop, "name"));
    bench->number[0] = '\0';
    return NULL;
}

/* The chosen bin or part goes into the kit. */
static void pick(struct bench *bench, const char *kit) {
    const json_t *stop = kits_stop(bench);
    json_t *batch = json_object_get(stop, "batch"), *quantity = quantity_for(bench, stop, kit);
    if (quantity != NULL)
        bench_ask(bench, "kit.pick",
                  json_pack("{s:s, s:s, s:s, s:O*, s:o}", "kit", kit, "part", bench_text(stop, "part_code"),
                            "bin", bench_text(stop, "code"), "batch", batch, "quantity", quantity),
                  picked);
    else
        kits_look(bench);
}

void kits_scan(struct bench *bench, const char *code) {
    bool in_hand =
        bench->hand == HAND_KITS && bench_find(json_object_get(bench->shown, "kits"), "kit", code) != NULL;
    bool chosen = bench->hand == HAND_KITS && (bench->bin[0] != '\0' || bench->part[0] != '\0');
    if (in_hand && chosen) {
        pick(bench, code);
    } else if (chosen) {
        bench_say(bench, BENCH_REFUSED,
                  "Kit %s is not in hand; nothing was put into it. Scan one of those in hand.", code);
    } else if (in_hand && bench->number[0] != '\0') {
        bench_say(bench, BENCH_REFUSED, "Scan the bin before the kit.");
    } else if (in_hand) {
        bench_say(bench, BENCH_TOLD, "Kit %s is in hand already.", code);
        kits_look(bench); /* perhaps its piece was cut meanwhile, or goods came in */
    } else if (json_array_size(bench->kits) >= BENCH_KITS) {
        bench_say(bench, BENCH_REFUSED, "%d kits are in hand; more do not fit into one walk.", BENCH_KITS);
    } else {
        json_t *kits = bench->hand == HAND_KITS ? json_deep_copy(bench->kits) : json_array();
        json_array_append_new(kits, json_string(code));
        bench_ask(bench, "kit.show", json_pack("{s:o}", "kits", kits), took_kit);
    }
}

/* --- Bins and parts --- */

/* The stop that `text` names by the code or the own name of its bin or part, `bin` telling which; those of the chosen bin come
 * first. */
static const json_t *named_stop(const struct bench *bench, const char *text, bool *bin) {
    const json_t *found = NULL;
    *bin = false;
    for (size_t i = 0; i < json_array_size(stops(bench)); i++) {
        const json_t *stop = json_array_get(stops(bench), i);
        bool is_bin =
            strcasecmp(text, bench_text(stop, "code")) == 0 || strcasecmp(text, bench_text(stop, "bin")) == 0;
        bool is_part = strcasecmp(text, bench_text(stop, "part_code")) == 0 ||
                       strcasecmp(text, bench_text(stop, "part")) == 0;
        bool better = found == NULL ||
                      (!*bin && bench->bin[0] != '\0' && strcmp(bench->bin, bench_text(found, "code")) != 0 &&
                       strcmp(bench->bin, bench_text(stop, "code")) == 0);
        if ((is_bin || is_part) && better) {
            found = stop;
            *bin = is_bin;
        }
    }
    return found;
}

bool kits_names(const struct bench *bench, const char *text) {
    bool bin;
    return text[0] != '\0' && named_stop(bench, text, &bin) != NULL;
}

static void choose(struct bench *bench, const json_t *stop, bool bin) {
    if (bin) {
        text_copy(bench->bin, sizeof bench->bin, bench_text(stop, "code"));
        if (kits_stop(bench) == NULL)
            bench->part[0] = '\0';
        bench_say(bench, BENCH_TOLD, "Bin %s.", bench_text(stop, "bin"));
    } else if (bench->bin[0] != '\0' && strcmp(bench->bin, bench_text(stop, "code")) != 0) {
        bench_say(bench, BENCH_REFUSED, "%s is not taken from this bin but from bin %s.",
                  bench_text(stop, "name"), bench_text(stop, "bin"));
    } else {
        text_copy(bench->part, sizeof bench->part, bench_text(stop, "part_code"));
        bench_say(bench, BENCH_TOLD, "%s.", bench_text(stop, "name"));
    }
}

static void looked_place(struct bench *bench, const json_t *answer) {
    if (json_object_get(answer, "void") != NULL)
        bench_say(bench, BENCH_REFUSED, "%s", bench_text(answer, "say"));
    else
        bench_say(bench, BENCH_REFUSED, "%s: nothing of it is for the kits in hand.",
                  bench_text(answer, "name"));
}

/* Goods may have come in since: the walk is looked at anew before a place is refused. */
static void looked_walk(struct bench *bench, const json_t *answer) {
    bool bin;
    take_shown(bench, answer);
    const json_t *stop = named_stop(bench, bench->asked, &bin);
    if (stop != NULL)
        choose(bench, stop, bin);
    else
        bench_ask(bench, "scan.look", json_pack("{s:s}", "code", bench->asked), looked_place);
}

void kits_place(struct bench *bench, const char *text) {
    bool bin;
    const json_t *stop = named_stop(bench, text, &bin);
    if (stop != NULL) {
        choose(bench, stop, bin);
        return;
    }
    text_copy(bench->asked, sizeof bench->asked, text);
    ask_shown(bench, looked_walk);
}

/* --- Pieces --- */

static void matched(struct bench *bench, const json_t *answer) {
    const char *kit = bench_text(json_object_get(answer, "kit"), "kit");
    bench_did(bench, DEED_MATCH, kit, bench->asked, bench->asked, NULL);
    bench_say(bench, BENCH_DONE, "Piece %s is with kit %s.", bench->asked, kit);
    kits_look(bench);
}

/* A piece of no kit in hand is refused by the daemon, which names its own. */
void kits_piece(struct bench *bench, const char *code) {
    const json_t *kits = json_object_get(bench->shown, "kits"), *own = json_array_get(kits, 0);
    for (size_t i = 0; i < json_array_size(kits); i++)
        if (bench_find(json_object_get(json_array_get(kits, i), "pieces"), "code", code) != NULL)
            own = json_array_get(kits, i);
    text_copy(bench->asked, sizeof bench->asked, code);
    bench_ask(bench, "kit.match", json_pack("{s:s, s:s}", "kit", bench_text(own, "kit"), "piece", code),
              matched);
}

/* --- Short --- */

void kits_short(struct bench *bench) {
    const json_t *stop = kits_stop(bench);
    if (bench->hand != HAND_KITS || stop == NULL || (bench->bin[0] == '\0' && bench->part[0] == '\0')) {
        bench_say(bench, BENCH_REFUSED, "Scan the bin that is short first.");
        return;
    }
    bench_forget_question(bench);
    bench->question = ASK_FOUND;
    bench_say(bench, BENCH_TOLD, "Bin %s is short of %s.", bench_text(stop, "bin"), bench_text(stop, "name"));
}

static void was_short(struct bench *bench, const json_t *answer) {
    const json_t *still = json_object_get(json_object_get(answer, "handed_on"), "short");
    bench_did(bench, DEED_SHORT, bench_text(json_object_get(answer, "kit"), "kit"), "", bench->asked, NULL);
    bench_say(bench, BENCH_DONE, "Booked: %s.%s", bench->asked,
              json_array_size(still) > 0 ? " Some orders stay short of it." : "");
    bench_forget_question(bench);
    kits_look(bench);
}

void kits_found(struct bench *bench) {
    const json_t *stop = kits_stop(bench);
    const json_t *share = json_array_get(json_object_get(stop, "split"), 0);
    bool by_length = strcmp(bench_text(stop, "unit"), "length") == 0;
    long long count = 0;
    ell_length length = 0;
    if (bench->number[0] == '\0' || (by_length ? !input_length(bench->number, bench->unit, &length)
                                               : !input_count(bench->number, &count))) {
        bench_say(bench, BENCH_REFUSED, "Say how many lie there, 0 for none.");
        bench->number[0] = '\0';
        return;
    }
    bench_print(bench->asked, sizeof bench->asked, "bin %s holds %s of %s", bench_text(stop, "bin"),
                bench->number, bench_text(stop, "name"));
    json_t *found = by_length ? json_real((double)length / ELL_MM) : json_integer(count);
    bench_ask(bench, "kit.short",
              json_pack("{s:s, s:s, s:s, s:O*, s:o}", "kit", bench_text(share, "kit"), "part",
                        bench_text(stop, "part_code"), "bin", bench_text(stop, "code"), "batch",
                        json_object_get(stop, "batch"), "found", found),
              was_short);
}

/* --- Packing --- */

static void pack_next(struct bench *bench);

static void packed(struct bench *bench, const json_t *answer) {
    const char *kit = bench_text(answer, "kit");
    char said[BENCH_TEXT];
    bool before = bench->outcome == BENCH_DONE;
    text_copy(said, sizeof said, bench->said);
    bench_did(bench, DEED_PACK, kit, "", kit, NULL);
    put_down(bench, bench->asked);
    bench_say(bench, BENCH_DONE, "%s%sKit %s is packed.%s", before ? said : "", before ? " " : "", kit,
              strcmp(bench_text(answer, "order_state"), "packed") == 0 ? " Its order is packed whole." : "");
    pack_next(bench);
}

/* Asks for the next kit of `packing`; after the last the hand has what is left. */
static void pack_next(struct bench *bench) {
    if (json_array_size(bench->packing) == 0) {
        json_decref(bench->packing);
        bench->packing = NULL;
        kits_look(bench);
        return;
    }
    text_copy(bench->asked, sizeof bench->asked, json_string_value(json_array_get(bench->packing, 0)));
    json_array_remove(bench->packing, 0);
    bench_ask(bench, "kit.pack", json_pack("{s:s}", "kit", bench->asked), packed);
}

/* With nothing ready the daemon says what is missing. */
void kits_pack(struct bench *bench) {
    const json_t *kits = json_object_get(bench->shown, "kits");
    json_decref(bench->packing);
    bench->packing = json_array();
    for (size_t i = 0; i < json_array_size(kits); i++)
        if (kits_ready(json_array_get(kits, i)))
            json_array_append_new(bench->packing, json_string(bench_text(json_array_get(kits, i), "kit")));
    if (json_array_size(bench->packing) == 0)
        json_array_append_new(bench->packing, json_string(bench_text(json_array_get(kits, 0), "kit")));
    bench->number[0] = '\0';
    pack_next(bench);
}

/* --- Undo --- */

static void undone(struct bench *bench, const json_t *answer) {
    struct bench_action *last = &bench->actions[bench->action_count - 1];
    (void)answer;
    if (last->deed == DEED_PICK)
        bench_say(bench, BENCH_DONE, "Taken back: put %s of kit %s back where it came from.", last->what,
                  last->kit);
    else if (last->deed == DEED_MATCH)
        bench_say(bench, BENCH_DONE, "Taken back: piece %s is not with kit %s.", last->what, last->kit);
    else
        bench_say(bench, BENCH_DONE, "Taken back: kit %s is open again.", last->kit);
    take_up(bench, last->kit);
    json_decref(last->quantity);
    bench->action_count--;
    kits_look(bench);
}

/* What cannot be taken back stays the last thing, so that UNDO never goes past it. */
void kits_undo(struct bench *bench) {
    if (bench->action_count == 0) {
        bench_say(bench, BENCH_REFUSED, "There is nothing of this session to take back.");
        return;
    }
    const struct bench_action *last = &bench->actions[bench->action_count - 1];
    static const char *const reason = "taken back at the bench";
    switch (last->deed) {
    case DEED_PICK:
        bench_ask(bench, "kit.put-back",
                  json_pack("{s:s, s:s, s:O*, s:s}", "kit", last->kit, "part", last->subject, "quantity",
                            last->quantity, "reason", reason),
                  undone);
        break;
    case DEED_MATCH:
        bench_ask(bench, "kit.unmatch",
                  json_pack("{s:s, s:s, s:s}", "kit", last->kit, "piece", last->subject, "reason", reason),
                  undone);
        break;
    case DEED_PACK:
        bench_ask(bench, "kit.unpack", json_pack("{s:s, s:s}", "kit", last->kit, "reason", reason), undone);
        break;
    case DEED_SHORT:
        bench_say(bench, BENCH_REFUSED,
                  "What a bin holds cannot be taken back here; if it was a slip, correct it with: "
                  "ellwand stock adjust");
        break;
    case DEED_CUT:
    case DEED_SENT:
    case DEED_RECUT:
    case DEED_WRITE_OFF:
        bench_say(bench, BENCH_REFUSED, "The last thing cannot be taken back: %s.", last->what);
        break;
    }
}
