/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_entry.h"

#include "survey_choices.h"

#include "common/text.h"
#include "takeoff/order_file.h"

#include <stdio.h>
#include <string.h>

static const struct survey_question *question_at(const struct survey_entry *entry) {
    return &survey_questions[entry->at.question];
}

static const char *unit_of(const struct survey_entry *entry) {
    const char *unit = json_string_value(json_object_get(entry->order, "unit"));
    return unit != NULL ? unit : "mm";
}

struct survey_draft survey_entry_draft(const struct survey_entry *entry) {
    bool order = question_at(entry)->group == SURVEY_OF_ORDER;
    return (struct survey_draft){order ? entry->order : entry->answers, entry->catalogue, unit_of(entry)};
}

static void take_in_hand(struct survey_entry *entry, size_t window, json_t *answers) {
    json_decref(entry->answers);
    entry->answers = answers;
    entry->window = window;
    entry->mends = false;
    entry->doubted.question = entry->returns.question = survey_question_count;
    entry->at = survey_course_first(SURVEY_OF_WINDOW);
}

void survey_entry_begin(struct survey_entry *entry, const struct catalogue *catalogue,
                        const json_t *document) {
    json_t *windows = json_copy(json_object_get(document, "windows"));
    *entry =
        (struct survey_entry){.catalogue = catalogue,
                              .order = document != NULL ? survey_answers_of_order(document) : json_object(),
                              .windows = windows != NULL ? windows : json_array()};
    size_t count = json_array_size(entry->windows);
    take_in_hand(entry, count > 0 ? count - 1 : 0,
                 count > 0 ? survey_answers_of_window(json_array_get(entry->windows, count - 1), false)
                           : json_object());
    entry->at = survey_course_first(count > 0 ? SURVEY_OF_NEXT : SURVEY_OF_ORDER);
}

void survey_entry_end(struct survey_entry *entry) {
    json_decref(entry->order);
    json_decref(entry->answers);
    json_decref(entry->windows);
    takeoff_free(entry->takeoff);
    *entry = (struct survey_entry){.catalogue = NULL};
}

static const char *name_of(const json_t *window) {
    const char *name = json_string_value(json_object_get(window, "window"));
    return name != NULL ? name : "";
}

bool survey_entry_change(struct survey_entry *entry, const char *window) {
    for (size_t i = 0; i < json_array_size(entry->windows); i++) {
        const json_t *there = json_array_get(entry->windows, i);
        if (strcmp(name_of(there), window) != 0)
            continue;
        take_in_hand(entry, i, survey_answers_of_window(there, false));
        return true;
    }
    return false;
}

/* --- The question --- */

/* "W3", or the first after it that no window has. */
static json_t *free_name(const struct survey_entry *entry) {
    char name[24];
    size_t number = json_array_size(entry->windows), taken = 1;
    while (taken > 0) {
        snprintf(name, sizeof name, "W%zu", ++number);
        taken = 0;
        for (size_t i = 0; i < json_array_size(entry->windows); i++)
            taken += strcasecmp(name_of(json_array_get(entry->windows, i)), name) == 0;
    }
    return json_string(name);
}

/* The only choice there is. */
static json_t *sole_choice(const struct survey_draft *draft, const struct survey_question *question) {
    struct survey_choices choices;
    struct survey_word first, second;
    if (!survey_choices_begin(&choices, draft, question) || !survey_choices_next(&choices, &first) ||
        survey_choices_next(&choices, &second))
        return NULL;
    return json_string(first.word);
}

/* What an empty line takes: the answer that was given, where it is still one; else what is usual. NULL for none; the caller
 * owns it. */
static json_t *standing(const struct survey_entry *entry) {
    struct survey_draft draft = survey_entry_draft(entry);
    struct survey_choices choices;
    struct survey_word word;
    struct fault fault;
    const struct survey_question *question = question_at(entry);
    json_t *value = survey_draft_get(&draft, question, entry->at.item);
    bool chosen = survey_choices_begin(&choices, &draft, question) && json_is_string(value);
    if (value != NULL && (question->optional || !json_is_null(value)) &&
        (!chosen || survey_choices_has(&draft, question, json_string_value(value), &word)))
        return json_incref(value);
    if (strcmp(question->field, "window") == 0)
        return free_name(entry);
    if (question->group == SURVEY_OF_NEXT && entry->takeoff != NULL && entry->takeoff->refused)
        return json_string("again");
    value = sole_choice(&draft, question);
    if (value == NULL && question->otherwise != NULL)
        value = survey_answer_plain(&draft, question, question->otherwise, &fault);
    return value;
}

void survey_entry_asked(const struct survey_entry *entry, struct survey_asked *asked) {
    struct survey_draft draft = survey_entry_draft(entry);
    const struct survey_question *question = question_at(entry);
    json_t *value = standing(entry);
    *asked = (struct survey_asked){
        .question = question, .item = entry->at.item, .of = 1, .optional = question->optional};
    survey_answer_show(&draft, question, value, asked->standing);
    json_decref(value);
    if (question->group == SURVEY_OF_NEXT) {
        asked->number = 1;
        return;
    }
    struct survey_place place =
        survey_course_first(question->group == SURVEY_OF_ORDER ? SURVEY_OF_ORDER : SURVEY_OF_WINDOW);
    bool more = true;
    for (asked->of = 0; more; more = survey_course_next(&draft, &place)) {
        asked->of++;
        if (place.question == entry->at.question && place.item == entry->at.item)
            asked->number = asked->of;
    }
}

/* --- Documents --- */

static const char *window_path(const struct survey_entry *entry, char path[32]) {
    snprintf(path, 32, "windows[%zu]", entry->window);
    return path;
}

/* A likely slip of the unit. */
static bool is_doubt(const struct fault *fault) {
    return strcmp(fault->code, "check-measure") == 0;
}

static json_t *document_with(json_t *order, json_t *windows) {
    json_object_set_new(order, "windows", windows);
    return order;
}

json_t *survey_entry_document(const struct survey_entry *entry) {
    struct survey_draft draft = {entry->order, entry->catalogue, unit_of(entry)};
    return document_with(survey_draft_order(&draft, false), json_copy(entry->windows));
}

/* The finished windows with this one among them. */
static json_t *windows_with(const struct survey_entry *entry, json_t *window) {
    json_t *windows = json_copy(entry->windows);
    if (entry->window < json_array_size(windows))
        json_array_set_new(windows, entry->window, window);
    else
        json_array_append_new(windows, window);
    return windows;
}

/* Whether the reader of order files finds anything wrong with this question's answer. */
static bool judge(const struct survey_entry *entry, const struct survey_draft *draft, struct fault *fault) {
    bool of_order = question_at(entry)->group == SURVEY_OF_ORDER;
    struct survey_draft order = {of_order ? draft->answers : entry->order, entry->catalogue, "mm"};
    struct survey_draft window = {of_order ? NULL : draft->answers, entry->catalogue, "mm"};
    json_t *windows = of_order && json_array_size(entry->windows) > 0
                          ? json_copy(entry->windows)
                          : windows_with(entry, survey_draft_window(&window, true));
    json_t *document = document_with(survey_draft_order(&order, true), windows);
    struct order_file *read = order_file_read(document, fault);
    struct survey_place place;
    bool good = read != NULL || !survey_course_find(draft, fault, entry->window, &place) ||
                place.question != entry->at.question || place.item != entry->at.item;
    order_file_free(read);
    json_decref(document);
    return good;
}

static void say_doubt(struct survey_entry *entry, struct survey_place place, const struct fault *fault) {
    snprintf(entry->doubt, sizeof entry->doubt, "%s: %s", survey_questions[place.question].label,
             fault->message);
}

/* A measure that is unusual is told at once; it is asked back when the window is complete. */
static void look_at(struct survey_entry *entry) {
    struct survey_draft draft = {entry->answers, entry->catalogue, unit_of(entry)};
    enum survey_kind kind = question_at(entry)->kind;
    char path[32];
    struct survey survey;
    struct takeoff *takeoff = NULL;
    struct fault fault = {.code = ""};
    struct survey_place place;
    if (question_at(entry)->group != SURVEY_OF_WINDOW || (kind != SURVEY_LENGTH && kind != SURVEY_LENGTHS))
        return;
    json_t *window = survey_draft_window(&draft, true);
    if (survey_read(window, window_path(entry, path), &survey, &fault) &&
        !takeoff_compute(&survey, entry->catalogue, &takeoff, &fault) && is_doubt(&fault) &&
        survey_course_find(&draft, &fault, entry->window, &place) && place.question == entry->at.question)
        say_doubt(entry, place, &fault);
    takeoff_free(takeoff);
    json_decref(window);
}

/* --- A window that has all its answers --- */

static enum survey_outcome send_back(struct survey_entry *entry, const struct fault *fault) {
    struct survey_draft draft = survey_entry_draft(entry);
    entry->at = survey_course_first(SURVEY_OF_WINDOW);
    survey_course_find(&draft, fault, entry->window, &entry->at);
    entry->mends = true;
    return SURVEY_WRONG;
}

static enum survey_outcome ask_back(struct survey_entry *entry, const struct fault *fault) {
    struct survey_draft draft = survey_entry_draft(entry);
    entry->doubted = survey_course_first(SURVEY_OF_WINDOW);
    survey_course_find(&draft, fault, entry->window, &entry->doubted);
    json_object_set_new(entry->answers, "measure_confirmed", json_false());
    entry->at.question = survey_question_find(SURVEY_OF_WINDOW, "measure_confirmed");
    entry->at.item = 0;
    say_doubt(entry, entry->doubted, fault);
    return SURVEY_TAKEN;
}

static bool is_order(const struct survey_entry *entry, json_t *windows, struct fault *fault) {
    struct survey_draft order = {entry->order, entry->catalogue, "mm"};
    json_t *document = document_with(survey_draft_order(&order, false), json_incref(windows));
    struct order_file *read = order_file_read(document, fault);
    bool good = read != NULL;
    order_file_free(read);
    json_decref(document);
    return good;
}

static enum survey_outcome finish_window(struct survey_entry *entry, struct fault *fault) {
    struct survey_draft draft = survey_entry_draft(entry);
    struct survey survey;
    struct takeoff *takeoff = NULL;
    char path[32];
    json_t *window = survey_draft_window(&draft, false);
    json_t *windows = windows_with(entry, json_incref(window));
    bool good = survey_read(window, window_path(entry, path), &survey, fault) &&
                is_order(entry, windows, fault) &&
                takeoff_compute(&survey, entry->catalogue, &takeoff, fault);
    json_decref(window);
    if (!good) {
        json_decref(windows);
        return is_doubt(fault) ? ask_back(entry, fault) : send_back(entry, fault);
    }
    json_decref(entry->windows);
    entry->windows = windows;
    takeoff_free(entry->takeoff);
    entry->takeoff = takeoff;
    entry->at = survey_course_first(SURVEY_OF_NEXT);
    entry->mends = false;
    return SURVEY_WINDOW;
}

/* --- Lines --- */

/* The order's own questions are gone through. */
static enum survey_outcome after_order(struct survey_entry *entry) {
    bool windows = json_array_size(entry->windows) > 0;
    entry->at = entry->returns.question < survey_question_count
                    ? entry->returns
                    : survey_course_first(windows ? SURVEY_OF_NEXT : SURVEY_OF_WINDOW);
    entry->returns.question = survey_question_count;
    entry->mends = false;
    return windows ? SURVEY_ORDER : SURVEY_TAKEN;
}

static enum survey_outcome go_on(struct survey_entry *entry, struct fault *fault) {
    struct survey_draft draft = survey_entry_draft(entry);
    bool more;
    do
        more = survey_course_next(&draft, &entry->at);
    while (more && entry->mends && survey_course_answered(&draft, entry->at));
    if (more)
        return SURVEY_TAKEN;
    if (question_at(entry)->group != SURVEY_OF_ORDER)
        return finish_window(entry, fault);
    return after_order(entry);
}

static enum survey_outcome go_back(struct survey_entry *entry, struct fault *fault) {
    struct survey_draft draft = survey_entry_draft(entry);
    entry->mends = false;
    entry->doubt[0] = '\0';
    if (survey_course_back(&draft, &entry->at))
        return SURVEY_TAKEN;
    if (json_array_size(entry->windows) > 0) {
        entry->at = survey_course_first(SURVEY_OF_NEXT);
        return SURVEY_TAKEN;
    }
    if (question_at(entry)->group == SURVEY_OF_ORDER)
        return fault_set(fault, "step-not-allowed", question_at(entry)->field, "This is the first question."),
               SURVEY_WRONG;
    entry->at = survey_course_first(SURVEY_OF_ORDER);
    draft.answers = entry->order;
    while (survey_course_next(&draft, &entry->at))
        ;
    return SURVEY_TAKEN;
}

static bool begins(const char *text, const char *word) {
    return strncasecmp(text, word, strlen(word)) == 0;
}

static bool is_called(struct survey_place place, const char *word) {
    const struct survey_question *question = &survey_questions[place.question];
    const char *dot = strchr(question->field, '.');
    return begins(question->label, word) || begins(question->field, word) ||
           (dot != NULL && begins(dot + 1, word));
}

/* The nearest question of that name before this place, else the first after it that can be come to without leaving a
 * question open. */
static bool find_called(const struct survey_draft *draft, struct survey_place from, const char *word,
                        struct survey_place *found) {
    struct survey_place place = from;
    bool called = false;
    while (!called && survey_course_back(draft, &place))
        called = is_called(place, word);
    if (!called)
        place = from;
    while (!called && survey_course_answered(draft, place) && survey_course_next(draft, &place))
        called = is_called(place, word);
    if (called)
        *found = place;
    return called;
}

/* To the question of that name, of this window or of the order. False: there is none. */
static bool go_to(struct survey_entry *entry, const char *word) {
    struct survey_draft draft = survey_entry_draft(entry);
    struct survey_draft order = {entry->order, entry->catalogue, draft.unit};
    struct survey_place first = survey_course_first(SURVEY_OF_ORDER);
    bool of_order = question_at(entry)->group == SURVEY_OF_ORDER;
    if (!find_called(&draft, entry->at, word, &entry->at)) {
        if (of_order || (!is_called(first, word) && !find_called(&order, first, word, &first)))
            return false;
        entry->returns = entry->at;
        entry->at = first;
    }
    entry->doubt[0] = '\0';
    entry->mends = true;
    return true;
}

static enum survey_outcome what_next(struct survey_entry *entry, const char *word, struct fault *fault) {
    size_t count = json_array_size(entry->windows);
    const json_t *last = json_array_get(entry->windows, entry->window < count ? entry->window : count - 1);
    if (strcmp(word, "done") == 0)
        return SURVEY_DONE;
    if (strcmp(word, "order") == 0) {
        entry->at = survey_course_first(SURVEY_OF_ORDER);
        return SURVEY_TAKEN;
    }
    if (strcmp(word, "again") != 0 && count >= ORDER_WINDOWS)
        return fault_set(fault, "too-large", "next", "One order takes %d windows; begin another one.",
                         ORDER_WINDOWS),
               SURVEY_WRONG;
    if (strcmp(word, "again") == 0)
        take_in_hand(entry, entry->window < count ? entry->window : count - 1,
                     survey_answers_of_window(last, false));
    else
        take_in_hand(entry, count,
                     strcmp(word, "copy") == 0 ? survey_answers_of_window(last, true) : json_object());
    return SURVEY_TAKEN;
}

/* A measure that was asked back: confirmed, or measured anew. */
static enum survey_outcome after_confirmation(struct survey_entry *entry, struct fault *fault) {
    bool known = entry->doubted.question < survey_question_count;
    if (json_is_true(json_object_get(entry->answers, "measure_confirmed")))
        return go_on(entry, fault);
    json_object_del(entry->answers, "measure_confirmed");
    if (!known)
        return go_on(entry, fault);
    entry->at = entry->doubted;
    entry->doubted.question = survey_question_count;
    entry->mends = true;
    return SURVEY_TAKEN;
}

static enum survey_outcome take(struct survey_entry *entry, json_t *value, struct fault *fault) {
    struct survey_draft draft = survey_entry_draft(entry);
    const struct survey_question *question = question_at(entry);
    bool of_order = question->group == SURVEY_OF_ORDER;
    draft.answers = json_deep_copy(draft.answers);
    survey_draft_set(&draft, question, entry->at.item, value);
    /* without its first answer a thing in the wall is no longer there to be judged */
    if (!json_is_null(value) && !question->own && !judge(entry, &draft, fault)) {
        json_decref(draft.answers);
        return SURVEY_WRONG;
    }
    entry->doubt[0] = '\0';
    json_decref(of_order ? entry->order : entry->answers);
    *(of_order ? &entry->order : &entry->answers) = draft.answers;
    if (strcmp(question->field, "measure_confirmed") == 0)
        return after_confirmation(entry, fault);
    look_at(entry);
    /* the next of the things in the wall has moved up to this place */
    if (question->group == SURVEY_OF_NEAR && json_is_null(value) &&
        entry->at.item < survey_draft_near(&draft))
        return SURVEY_TAKEN;
    return go_on(entry, fault);
}

/* The value of a line; NULL and a fault when it is none. */
static json_t *value_of(const struct survey_entry *entry, const char *text, struct fault *fault) {
    struct survey_draft draft = survey_entry_draft(entry);
    const struct survey_question *question = question_at(entry);
    bool empty = strcmp(text, "-") == 0;
    if (!empty && text[0] != '\0')
        return survey_answer_read(&draft, question, text, fault);
    json_t *value = empty ? NULL : standing(entry);
    if (value == NULL && question->optional)
        value = json_null();
    if (value == NULL)
        fault_set(fault, "missing-field", question->field, "This needs an answer; ? explains it.");
    return value;
}

/* Copies the line without blanks around it. */
static bool trimmed(const char *line, char text[SURVEY_LINE]) {
    line += strspn(line, " \t\r");
    size_t length = strlen(line);
    while (length > 0 && strchr(" \t\r", line[length - 1]) != NULL)
        length--;
    if (length >= SURVEY_LINE)
        return false;
    memcpy(text, line, length);
    text[length] = '\0';
    return true;
}

enum survey_outcome survey_entry_line(struct survey_entry *entry, const char *line, struct fault *fault) {
    char text[SURVEY_LINE];
    const char *field = question_at(entry)->field;
    if (!trimmed(line, text))
        return fault_set(fault, "too-large", field, "The line has more than %d bytes.", SURVEY_LINE - 1),
               SURVEY_WRONG;
    if (strcmp(text, "?") == 0)
        return SURVEY_EXPLAIN;
    if (strcmp(text, ".") == 0)
        return SURVEY_STOP;
    if (strcmp(text, "<") == 0)
        return go_back(entry, fault);
    if (text[0] == '<' && go_to(entry, text + 1 + strspn(text + 1, " \t")))
        return SURVEY_TAKEN;
    if (text[0] == '<' && question_at(entry)->kind != SURVEY_TEXT)
        return fault_set(fault, "unknown-field", field, "No question before this one is called \"%.40s\".",
                         text + 1),
               SURVEY_WRONG;
    bool on = strcmp(text, ">") == 0;
    json_t *value = value_of(entry, on ? "" : text, fault);
    if (value == NULL)
        return SURVEY_WRONG;
    if (question_at(entry)->group == SURVEY_OF_NEXT) {
        enum survey_outcome outcome = what_next(entry, json_string_value(value), fault);
        json_decref(value);
        return outcome;
    }
    entry->mends = entry->mends || on;
    return take(entry, value, fault);
}

/* --- Going on another time --- */

bool survey_entry_is_begun(const struct survey_entry *entry) {
    return question_at(entry)->group != SURVEY_OF_NEXT &&
           (json_object_size(entry->answers) > 0 ||
            (json_array_size(entry->windows) == 0 && json_object_size(entry->order) > 0));
}

json_t *survey_entry_begun(const struct survey_entry *entry) {
    return json_pack("{s:O, s:I, s:O, s:s, s:I, s:b}", "order", entry->order, "window",
                     (json_int_t)entry->window, "answers", entry->answers, "field", question_at(entry)->field,
                     "item", (json_int_t)entry->at.item, "of_order",
                     question_at(entry)->group == SURVEY_OF_ORDER);
}

bool survey_entry_resume(struct survey_entry *entry, const json_t *begun) {
    json_t *order, *answers;
    const char *field;
    json_int_t window, item;
    int of_order;
    if (json_unpack((json_t *)begun, "{s:o, s:I, s:o, s:s, s:I, s:b !}", "order", &order, "window", &window,
                    "answers", &answers, "field", &field, "item", &item, "of_order", &of_order) != 0)
        return false;
    size_t question = survey_question_find(of_order ? SURVEY_OF_ORDER : SURVEY_OF_WINDOW, field);
    if (!json_is_object(order) || !json_is_object(answers) || question == survey_question_count ||
        window < 0 || (size_t)window > json_array_size(entry->windows) || window >= ORDER_WINDOWS ||
        item < 0 || (item > 0 && survey_questions[question].group != SURVEY_OF_NEAR) ||
        (size_t)item > json_array_size(json_object_get(answers, "near")) || item >= SURVEY_NEAR)
        return false;
    json_decref(entry->order);
    entry->order = json_incref(order);
    take_in_hand(entry, (size_t)window, json_incref(answers));
    entry->at = (struct survey_place){question, (size_t)item};
    return true;
}
