/* Print jobs go to another station. SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_steps.h"
#include "desk/statement.h"

struct move {
    int64_t job; /* or 0: */
    char of[64]; /* all open jobs of this station */
    char to[64];
};

static bool read_move(const json_t *body, struct move *move, char reason[300], struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    move->job = form_integer_or(&form, "job", 1, INT64_MAX, 0);
    form_text_or(&form, "of", move->of, sizeof move->of, "");
    form_text(&form, "to", move->to, sizeof move->to);
    form_text_or(&form, "reason", reason, 300, "moved to another station");
    if (!form.failed && (move->job == 0) == (move->of[0] == '\0'))
        form_wrong(&form, "job", "one-of-two",
                   "Name either a print job, or the station all of whose jobs go.");
    return form_close(&form);
}

/* The statement's answer on one locked job; `check` changes nothing. */
static json_t *step(struct desk_call *call, int64_t job, const char *to, bool check, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, job);
    store_text(&values, to);
    store_boolean(&values, check);
    return statement_json(call, &query_print_move, &values, fault);
}

static json_t *move_one(struct desk_call *call, int64_t job, const struct move *move, struct fault *fault) {
    struct print_subject subject;
    if (!print_lock(call, job, &subject, fault))
        return NULL;
    bool doubtful = subject.held && subject.unsure;
    json_t *answer = step(call, job, move->to, doubtful, fault);
    if (answer != NULL && doubtful) {
        json_decref(answer);
        answer = print_as_reprints(call, &subject, move->to, fault);
    }
    if (answer != NULL && desk_announce(call, "print.state", json_deep_copy(answer), fault))
        return answer;
    json_decref(answer);
    return NULL;
}

static json_t *jobs_of(struct desk_call *call, const struct move *move, struct fault *fault) {
    if (move->job != 0)
        return json_pack("[I]", (json_int_t)move->job);
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_text(&values, move->of);
    return statement_json(call, &query_print_open_at, &values, fault);
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct move move;
    char reason[300];
    if (!read_move(call->body, &move, reason, fault) || !desk_reason(call, reason, fault))
        return NULL;
    json_t *jobs = jobs_of(call, &move, fault), *moved = json_array(), *one = moved;
    for (size_t i = 0; one != NULL && i < json_array_size(jobs); i++) {
        one = move_one(call, json_integer_value(json_array_get(jobs, i)), &move, fault);
        if (one != NULL)
            json_array_append_new(moved, one);
    }
    json_t *answer = jobs == NULL || one == NULL ? NULL : json_pack("{s:O}", "jobs", moved);
    call->wakes_printers = true;
    json_decref(moved);
    json_decref(jobs);
    return answer;
}

const struct desk_verb desk_verb_print_move = {
    "print.move", ROLE_SAW | ROLE_STORES | ROLE_DESK, DESK_CHANGES,
    "Moves print jobs to another station, where they are drawn anew for its labels.", run};
