/* A cut piece found bad later is cut again. SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"
#include "desk/statement.h"
#include "desk/subject.h"

#include <inttypes.h>
#include <string.h>

struct recut {
    int64_t piece;
    char reason[300];
};

static bool read_recut(const json_t *body, struct recut *recut, struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    recut->piece = subject_read(&form, "piece", SUBJECT(CODE_PIECE));
    form_text(&form, "reason", recut->reason, sizeof recut->reason);
    return form_close(&form);
}

static bool check_states(const struct store_rows *rows, const struct recut *recut, struct fault *fault) {
    if (rows_count(rows) != 1)
        return fault_set(fault, "not-found", "piece", "There is no piece %" PRId64 " here.", recut->piece);
    const char *piece = rows_text(rows, 0, 0), *kit = rows_text(rows, 0, 1);
    bool cut = strcmp(piece, "cut") == 0 || strcmp(piece, "matched") == 0;
    if (!cut)
        return fault_set(fault, "step-not-allowed", "piece",
                         "The piece is %s; only a cut one can be cut again.", piece);
    if (strcmp(kit, "packed") == 0 || strcmp(kit, "dispatched") == 0)
        return fault_set(fault, "step-not-allowed", "piece", "Its kit is %s; unpack it first.", kit);
    return true;
}

static bool find_piece(struct desk_call *call, const struct recut *recut, struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    store_integer(&values, recut->piece);
    if (!store_run(call->session, &query_piece_lock, &values, &rows, fault))
        return false;
    bool good = check_states(&rows, recut, fault);
    rows_free(&rows);
    return good;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct recut recut = {0};
    if (!read_recut(call->body, &recut, fault) || !labels_refuse_void(call, fault) ||
        !find_piece(call, &recut, fault) || !desk_reason(call, recut.reason, fault) ||
        !statement_for(call, &query_piece_unmatch, recut.piece, fault) ||
        !statement_for(call, &query_piece_again, recut.piece, fault) ||
        !desk_announce(call, "piece.recut", json_pack("{s:I}", "piece", (json_int_t)recut.piece), fault))
        return NULL;
    json_t *answer = json_pack("{s:I, s:s}", "piece", (json_int_t)recut.piece, "state", "waiting");
    if (answer == NULL)
        fault_memory(fault);
    return answer;
}

const struct desk_verb desk_verb_piece_recut = {
    "piece.recut", ROLE_SAW | ROLE_STORES, DESK_CHANGES,
    "Sends a cut piece that is bad back to the pool, to be planned and cut again.", run};
