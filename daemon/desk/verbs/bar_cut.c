/* Confirms that one bar of a released plan was cut, with what really remained.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/labels.h"
#include "desk/statement.h"
#include "desk/subject.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* A measure that differs more than this from the plan is asked back: a slip of the tape or of a digit is
 * likelier than a bar that long or short. Common practice, no source. */
static const ell_length measure_slack = 20 * ELL_MM;

struct confirmed {
    int64_t plan_bar, bar; /* one of them 0 */
    ell_length remainder;  /* -1: as planned */
    bool sure;
    char place[41], reason[300];
    json_t *spoiled; /* ids */
};

struct found_bar {
    int64_t id, plan;
    ell_length remainder, length;
};

static bool read_confirmed(const json_t *body, struct confirmed *cut, struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    cut->plan_bar = form_integer_or(&form, "plan_bar", 1, INT64_MAX, 0);
    cut->bar = subject_read_or_none(&form, "bar", SUBJECT(CODE_BAR) | SUBJECT(CODE_OFFCUT));
    cut->remainder = form_length_or(&form, "remainder", 0, ELL_LENGTH_MAX, -1);
    cut->sure = form_boolean_or(&form, "confirmed", false);
    form_text_or(&form, "place", cut->place, sizeof cut->place, "");
    form_text_or(&form, "reason", cut->reason, sizeof cut->reason, "");
    if (!form.failed && (cut->plan_bar == 0) == (cut->bar == 0))
        form_wrong(&form, "bar", "missing-field",
                   "Say which bar was cut: either \"bar\" (its number or code) or \"plan_bar\".");
    cut->spoiled = subject_read_list(&form, "spoiled", SUBJECT(CODE_PIECE), 1000, fault);
    return cut->spoiled != NULL && form_close(&form);
}

/* `pieces` are ids parted by blanks. */
static bool lies_on_bar(const char *pieces, int64_t piece) {
    char *end = NULL;
    for (const char *at = pieces; *at != '\0'; at = *end == ' ' ? end + 1 : end)
        if (strtoll(at, &end, 10) == piece)
            return true;
    return false;
}

static bool check_spoiled(const struct confirmed *cut, const char *pieces, struct fault *fault) {
    for (size_t i = 0; i < json_array_size(cut->spoiled); i++) {
        int64_t piece = json_integer_value(json_array_get(cut->spoiled, i));
        if (!lies_on_bar(pieces, piece))
            return fault_set(fault, "not-on-this-bar", "spoiled",
                             "Piece %" PRId64 " was not to be cut from this bar.", piece);
    }
    return true;
}

static bool take_bar(const struct store_rows *rows, const struct confirmed *cut, struct found_bar *bar,
                     struct fault *fault) {
    if (rows_count(rows) != 1)
        return fault_set(fault, "not-found", "bar", "No plan uses this bar; check its code.");
    const char *state = rows_text(rows, 0, 2);
    *bar = (struct found_bar){rows_integer(rows, 0, 0), rows_integer(rows, 0, 1), rows_integer(rows, 0, 3),
                              rows_integer(rows, 0, 4)};
    if (strcmp(state, "released") != 0)
        return fault_set(fault, "step-not-allowed", "bar",
                         "This bar is %s in plan %" PRId64 "; only a bar of a released plan can be "
                         "confirmed.",
                         state, bar->plan);
    return check_spoiled(cut, rows_text(rows, 0, 5), fault);
}

static bool find_bar(struct desk_call *call, const struct confirmed *cut, struct found_bar *bar,
                     struct fault *fault) {
    struct store_values values = {0};
    struct store_rows rows = {0};
    store_integer(&values, call->workshop);
    cut->plan_bar != 0 ? store_integer(&values, cut->plan_bar) : store_null(&values);
    cut->bar != 0 ? store_integer(&values, cut->bar) : store_null(&values);
    if (!store_run(call->session, &query_plan_bar_lock, &values, &rows, fault))
        return false;
    bool good = take_bar(&rows, cut, bar, fault);
    rows_free(&rows);
    return good;
}

static bool check_measure(const struct confirmed *cut, const struct found_bar *bar, struct fault *fault) {
    char measured[ELL_LENGTH_TEXT], planned[ELL_LENGTH_TEXT];
    ell_length off = llabs(cut->remainder - bar->remainder);
    if (cut->remainder < 0 || off <= measure_slack)
        return true;
    ell_length_text(cut->remainder, measured);
    ell_length_text(bar->remainder, planned);
    if (cut->remainder > bar->length + 1000 * ELL_MM)
        return fault_set(fault, "out-of-range", "remainder",
                         "%s mm is longer than the bar ever was; measure again.", measured);
    return cut->sure ||
           fault_set(
               fault, "check-measure", "remainder",
               "%s mm was measured where %s mm should be left. Measure again; when it is right, confirm it.",
               measured, planned);
}

static json_t *book_cut(struct desk_call *call, const struct confirmed *cut, const struct found_bar *bar,
                        struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, bar->id);
    cut->remainder >= 0 ? store_integer(&values, cut->remainder) : store_null(&values);
    store_json(&values, cut->spoiled);
    cut->place[0] != '\0' ? store_text(&values, cut->place) : store_null(&values);
    return statement_json(call, &query_plan_bar_cut, &values, fault);
}

static bool label_offcut(struct desk_call *call, json_t *answer, struct fault *fault) {
    json_t *labels = json_array();
    json_object_set_new(answer, "labels", labels);
    const json_t *offcut = json_object_get(answer, "offcut");
    if (json_is_null(offcut))
        return true;
    json_t *ids = json_pack("[O]", json_object_get(offcut, "bar"));
    bool good = labels_ask_rack(call, ids, labels, fault);
    json_decref(ids);
    return good;
}

static bool close_plan(struct desk_call *call, const struct found_bar *bar, json_t *answer,
                       struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, bar->plan);
    bool done;
    if (!statement_found(call, &query_plan_finish, &values, &done, fault))
        return false;
    json_object_set_new(answer, "plan_done", json_boolean(done));
    return desk_announce(call, "bar.cut",
                         json_pack("{s:I, s:I, s:b}", "plan", (json_int_t)bar->plan, "plan_bar",
                                   (json_int_t)bar->id, "plan_done", done),
                         fault);
}

static json_t *cut_bar(struct desk_call *call, const struct confirmed *cut, struct fault *fault) {
    struct found_bar bar;
    if (!find_bar(call, cut, &bar, fault) || !check_measure(cut, &bar, fault) ||
        !desk_reason(call, cut->reason, fault))
        return NULL;
    json_t *answer = book_cut(call, cut, &bar, fault);
    if (answer == NULL || (label_offcut(call, answer, fault) && close_plan(call, &bar, answer, fault)))
        return answer;
    json_decref(answer);
    return NULL;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct confirmed cut = {0};
    bool read = read_confirmed(call->body, &cut, fault) && labels_refuse_void(call, fault);
    json_t *answer = read ? cut_bar(call, &cut, fault) : NULL;
    json_decref(cut.spoiled);
    return answer;
}

const struct desk_verb desk_verb_bar_cut = {"bar.cut", ROLE_SAW, DESK_CHANGES,
                                            "Confirms a cut bar with the remainder as measured and any "
                                            "mis-cut pieces; the remainder goes on the rack or is scrap.",
                                            run};
