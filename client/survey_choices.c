/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_choices.h"

#include "common/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* What the screws go into: the wall, or the batten on it. */
static size_t ground_of(const struct survey_draft *draft) {
    const struct catalogue *catalogue = draft->catalogue;
    if (json_is_true(json_object_get(draft->answers, "batten")))
        for (size_t i = 0; i < catalogue->substrate_count; i++)
            if (catalogue->substrates[i].batten)
                return i;
    return catalogue_substrate(catalogue, survey_draft_word(draft, "substrate"));
}

static bool can_be_fixed(const struct survey_draft *draft, const struct track_system *system) {
    size_t ground = ground_of(draft);
    bool top = strcmp(survey_draft_word(draft, "position"), position_words[POSITION_TOP]) == 0;
    for (size_t i = 0; i < system->fixing_count; i++)
        if (system->fixings[i].substrate == ground &&
            (system->fixings[i].position >> (top ? POSITION_TOP : POSITION_FACE) & 1))
            return true;
    return false;
}

static bool suits(const struct survey_draft *draft, const struct track_system *system,
                  enum survey_suits level) {
    bool hand = strcmp(survey_draft_word(draft, "control"), control_words[CONTROL_HAND]) == 0;
    bool bay = strcmp(survey_draft_word(draft, "place"), place_words[PLACE_OUTSIDE]) == 0 &&
               strcmp(survey_draft_word(draft, "shape"), "bay") == 0;
    if (level != SURVEY_SUITS_ANY && system->corded == hand)
        return false;
    return level != SURVEY_SUITS_ALL || ((!bay || system->bends.possible) && can_be_fixed(draft, system));
}

static bool next_word(struct survey_choices *choices, struct survey_word *choice) {
    const struct survey_word *word = &choices->question->words[choices->row];
    *choice = *word;
    choices->row += word->word != NULL;
    return word->word != NULL;
}

static bool next_system(struct survey_choices *choices, struct survey_word *choice) {
    const struct catalogue *catalogue = choices->draft->catalogue;
    while (choices->row < catalogue->system_count) {
        const struct track_system *system = &catalogue->systems[choices->row++];
        if (!suits(choices->draft, system, choices->suits))
            continue;
        *choice = (struct survey_word){system->code, system->name};
        return true;
    }
    return false;
}

static bool next_finish(struct survey_choices *choices, struct survey_word *choice) {
    const struct catalogue *catalogue = choices->draft->catalogue;
    const struct track_system *system =
        catalogue_system(catalogue, survey_draft_word(choices->draft, "system"));
    while (choices->row < catalogue->finish_count) {
        size_t row = choices->row++;
        if (system != NULL && !(system->finishes >> row & 1))
            continue;
        *choice = (struct survey_word){catalogue->finishes[row].code, catalogue->finishes[row].name};
        return true;
    }
    return false;
}

bool survey_choices_next(struct survey_choices *choices, struct survey_word *choice) {
    const struct catalogue *catalogue = choices->draft->catalogue;
    size_t row = choices->row;
    switch (choices->question->kind) {
    case SURVEY_SYSTEM:
        return next_system(choices, choice);
    case SURVEY_FINISH:
        return next_finish(choices, choice);
    case SURVEY_SUBSTRATE:
        if (row >= catalogue->substrate_count)
            return false;
        *choice = (struct survey_word){catalogue->substrates[row].code, catalogue->substrates[row].name};
        break;
    case SURVEY_HEADING:
        if (row >= catalogue->heading_count)
            return false;
        *choice = (struct survey_word){catalogue->headings[row].code, catalogue->headings[row].name};
        break;
    default:
        return choices->question->words != NULL && next_word(choices, choice);
    }
    choices->row++;
    return true;
}

bool survey_choices_begin(struct survey_choices *choices, const struct survey_draft *draft,
                          const struct survey_question *question) {
    struct survey_word first;
    *choices = (struct survey_choices){.draft = draft, .question = question};
    while (question->kind == SURVEY_SYSTEM && choices->suits != SURVEY_SUITS_ANY) {
        bool any = survey_choices_next(choices, &first);
        choices->row = 0;
        if (any)
            break;
        choices->suits++;
    }
    return question->kind >= SURVEY_YES_NO;
}

bool survey_choices_has(const struct survey_draft *draft, const struct survey_question *question,
                        const char *word, struct survey_word *choice) {
    struct survey_choices choices;
    if (survey_choices_begin(&choices, draft, question))
        while (survey_choices_next(&choices, choice))
            if (strcasecmp(choice->word, word) == 0)
                return true;
    return false;
}

/* What each choice is compared with, from the plainest match to the loosest. */
enum match { MATCH_WORD, MATCH_NAME, MATCH_NUMBER, MATCH_BEGINNING, MATCH_NONE };

static bool matches(enum match how, const struct survey_word *choice, size_t number, const char *text) {
    size_t length = strlen(text);
    switch (how) {
    case MATCH_WORD:
        return strcasecmp(choice->word, text) == 0;
    case MATCH_NAME:
        return strcasecmp(choice->name, text) == 0;
    case MATCH_NUMBER:
        return strspn(text, "0123456789") == length && length < 6 && strtoul(text, NULL, 10) == number;
    case MATCH_BEGINNING:
        return strncasecmp(choice->word, text, length) == 0 || strncasecmp(choice->name, text, length) == 0;
    case MATCH_NONE:
        break;
    }
    return false;
}

static void append(char *list, size_t size, const char *word) {
    size_t used = strlen(list);
    text_copy(list + used, size - used, used > 0 ? ", " : "");
    used = strlen(list);
    text_copy(list + used, size - used, word);
}

bool survey_choices_find(const struct survey_draft *draft, const struct survey_question *question,
                         const char *text, struct survey_word *choice, struct fault *fault) {
    char all[200] = "", several[200];
    for (enum match how = MATCH_WORD; how <= MATCH_NONE; how++) {
        struct survey_choices choices;
        struct survey_word next;
        size_t found = 0, number = 0;
        several[0] = '\0';
        survey_choices_begin(&choices, draft, question);
        while (survey_choices_next(&choices, &next)) {
            if (how == MATCH_NONE)
                append(all, sizeof all, next.word);
            if (!matches(how, &next, ++number, text))
                continue;
            if (found++ == 0)
                *choice = next;
            append(several, sizeof several, next.word);
        }
        if (found == 1)
            return true;
        if (found > 1)
            return fault_set(fault, "unknown-choice", question->field,
                             "\"%s\" may mean several: %s. Type more of it, or its number.", text, several);
    }
    return fault_set(fault, "unknown-choice", question->field, "\"%.40s\" is none of these: %s.", text,
                     all[0] != '\0' ? all : "the catalogue has none");
}
