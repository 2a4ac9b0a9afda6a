/* What was counted. SPDX-License-Identifier: Apache-2.0 */
#include "desk/count_steps.h"
#include "desk/rack_steps.h"
#include "desk/statement.h"
#include "desk/stock_steps.h"
#include "desk/subject.h"

#include <string.h>
#include <time.h>

struct count {
    json_t *bars,
        *loose; /* owned: ids of labels; offcuts without one, as the statements of the rack take them */
    bool lines, done;
};

static bool check_line(const json_t *line, const char *path, struct fault *fault) {
    struct form form;
    char part[SCAN_FIELD], batch[STOCK_CODE];
    form_open(&form, line, path, fault);
    form_text(&form, "part", part, sizeof part);
    form_text_or(&form, "batch", batch, sizeof batch, "");
    form_number(&form, "counted", 0, STOCK_QUANTITY_MAX);
    return form_close(&form);
}

static void read_moment(struct form *form, const char *name) {
    char text[32], again[32];
    struct tm parts = {0};
    form_text_or(form, name, text, sizeof text, "");
    if (form->failed || text[0] == '\0')
        return;
    const char *rest = strptime(text, "%Y-%m-%dT%H:%M:%SZ", &parts);
    time_t moment = timegm(&parts);
    if (rest == NULL || *rest != '\0' || gmtime_r(&moment, &parts) == NULL ||
        strftime(again, sizeof again, "%Y-%m-%dT%H:%M:%SZ", &parts) == 0 || strcmp(text, again) != 0)
        form_wrong(form, name, "out-of-range", "Give the moment as in 2026-11-30T08:15:00Z.");
}

static bool read_loose(struct form *form, json_t *loose, struct fault *fault) {
    const json_t *given = form_array(form, "loose", 0, COUNT_LINES);
    char path[128];
    for (size_t i = 0; i < json_array_size(given); i++) {
        struct rack_arrival arrival = {.kind = "offcut"};
        struct form item;
        form_open(&item, json_array_get(given, i), form_below(form, "loose", (long)i, path), fault);
        rack_arrival_read(&item, &arrival);
        if (arrival.place[0] != '\0' || arrival.count != 1)
            form_wrong(&item, "place", "wrong-place",
                       "It lies at the place that is counted, and each is entered by itself.");
        if (!form_close(&item))
            return false;
        json_t *document = rack_arrival_document(&arrival, fault);
        if (document == NULL || json_array_append_new(loose, document) != 0)
            return false;
    }
    return true;
}

static bool read_count(const json_t *body, struct count *count, struct fault *fault) {
    struct form form;
    form_open(&form, body, "", fault);
    count_read(&form);
    read_moment(&form, "at");
    count->done = form_boolean_or(&form, "done", true);
    count->lines = form_has(&form, "lines");
    count->loose = json_array();
    if (!stock_lines_read(&form, 0, check_line, fault) || !read_loose(&form, count->loose, fault))
        return false;
    count->bars =
        subject_read_list(&form, "bars", SUBJECT(CODE_BAR) | SUBJECT(CODE_OFFCUT), COUNT_LINES, fault);
    return count->bars != NULL && form_close(&form);
}

/* Whoever moves these parts just now ends first, so that the books are what the counter saw. */
static bool wait_for_parts(struct desk_call *call, const struct stock_take *take, struct fault *fault) {
    json_t *parts = statement_json_for(call, &query_count_lines, take->id, fault);
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, parts);
    bool good =
        parts != NULL && store_run_nothing(call->session, &query_reservation_lock_parts, &values, fault);
    json_decref(parts);
    return good;
}

static bool enter_lines(struct desk_call *call, const struct stock_take *take, struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, call->body);
    store_integer(&values, take->id);
    store_integer(&values, take->round);
    return wait_for_parts(call, take, fault) &&
           store_run_nothing(call->session, &query_count_enter, &values, fault);
}

static bool enter_bars(struct desk_call *call, const struct stock_take *take, const struct count *count,
                       struct fault *fault) {
    struct store_values values = {0};
    store_integer(&values, call->workshop);
    store_json(&values, count->bars);
    store_integer(&values, take->id);
    store_integer(&values, take->round);
    store_json(&values, count->loose);
    return store_run_nothing(call->session, &query_count_enter_bars, &values, fault);
}

static json_t *enter(struct desk_call *call, const struct count *count, struct fault *fault) {
    struct stock_take take;
    if (!count_find(call, &take, fault) || !count_must_be(&take, "open", fault))
        return NULL;
    if (count->lines && !enter_lines(call, &take, fault))
        return NULL;
    if (json_array_size(count->bars) + json_array_size(count->loose) > 0 &&
        !enter_bars(call, &take, count, fault))
        return NULL;
    if (count->done)
        return count_told(call, "count.counted",
                          statement_json_for(call, &query_count_finish, take.id, fault), fault);
    json_t *answer = json_pack("{s:I, s:s, s:I, s:[]}", "stock_take", (json_int_t)take.id, "state", "open",
                               "round", (json_int_t)take.round, "recount");
    if (answer == NULL)
        fault_memory(fault);
    return answer;
}

static json_t *run(struct desk_call *call, struct fault *fault) {
    struct count count = {0};
    json_t *answer = read_count(call->body, &count, fault) && desk_reason(call, "counted", fault)
                         ? enter(call, &count, fault)
                         : NULL;
    json_decref(count.bars);
    json_decref(count.loose);
    return answer;
}

const struct desk_verb desk_verb_count_enter = {
    "count.enter", ROLE_STORES | ROLE_MANAGER, DESK_CHANGES_UNDER_LOCKS,
    "Enters what was counted at a place; where much differs, the answer asks for it to be counted again.",
    run};
