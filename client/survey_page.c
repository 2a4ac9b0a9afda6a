/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_page.h"

#include "survey_choices.h"
#include "survey_result.h"

#include "common/text.h"

#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>

enum { LABEL = 15, CHOICES_LISTED = 10, ROWS_LEAST = 10, WIDTH = 80 };

static size_t terminal_rows(FILE *file) {
    struct winsize size;
    const char *lines = getenv("LINES");
    long wanted = lines != NULL ? strtol(lines, NULL, 10) : 0;
    if (wanted >= ROWS_LEAST && wanted <= 1000)
        return (size_t)wanted;
    if (ioctl(fileno(file), TIOCGWINSZ, &size) == 0 && size.ws_row >= ROWS_LEAST)
        return size.ws_row;
    return 24;
}

/* What a terminal without cursor movement would show as junk. */
static bool can_be_wiped(const struct screen *screen) {
    const char *kind = getenv("TERM");
    return screen->terminal && kind != NULL && strcmp(kind, "dumb") != 0 && kind[0] != '\0';
}

/* --- The question --- */

static void print_choice(const struct screen *screen, size_t number, const struct survey_word *choice) {
    char text[SURVEY_SHOWN];
    snprintf(text, sizeof text, "%3zu  ", number);
    screen_text(screen, PAINT_PLAIN, text);
    screen_text(screen, PAINT_BOLD, choice->word);
    snprintf(text, sizeof text, "%*s  %s\n",
             LABEL > screen_columns(choice->word) ? LABEL - screen_columns(choice->word) : 0, "",
             strcmp(choice->word, choice->name) != 0 ? choice->name : "");
    screen_text(screen, PAINT_PLAIN, text);
}

static void print_choices(const struct screen *screen, const struct survey_draft *draft,
                          const struct survey_question *question) {
    struct survey_choices choices;
    struct survey_word choice;
    size_t count = 0, number = 0;
    if (!survey_choices_begin(&choices, draft, question))
        return;
    while (survey_choices_next(&choices, &choice))
        count++;
    survey_choices_begin(&choices, draft, question);
    if (choices.suits != SURVEY_SUITS_ALL)
        screen_paragraph(screen, 2,
                         "No system of the catalogue suits all that was answered; these come nearest:");
    char line[2000] = "";
    while (survey_choices_next(&choices, &choice)) {
        size_t used = strlen(line);
        number++;
        if (count <= CHOICES_LISTED)
            print_choice(screen, number, &choice);
        else if (used + 100 < sizeof line)
            snprintf(line + used, sizeof line - used, "%s%zu %s", used > 0 ? "; " : "", number, choice.word);
    }
    if (line[0] != '\0')
        screen_paragraph(screen, 2, line);
}

static void print_title(const struct screen *screen, const struct survey_asked *asked, const char *unit) {
    char title[SURVEY_SHOWN], standing[SURVEY_SHOWN + 40] = "";
    bool of_thing = asked->question->group == SURVEY_OF_NEAR;
    if (of_thing)
        snprintf(title, sizeof title, "Thing %zu: %s", asked->item + 1, asked->question->ask);
    else
        text_copy(title, sizeof title, asked->question->ask);
    bool length = asked->question->kind == SURVEY_LENGTH || asked->question->kind == SURVEY_LENGTHS;
    if (length)
        snprintf(standing, sizeof standing, "  in %s", strcmp(unit, "in") == 0 ? "inches" : unit);
    size_t used = strlen(standing);
    if (asked->standing[0] != '\0')
        snprintf(standing + used, sizeof standing - used, "  Enter: %s", asked->standing);
    else if (asked->optional)
        snprintf(standing + used, sizeof standing - used, "  Enter: %s",
                 of_thing ? "nothing (more)" : "leave it empty");
    screen_text(screen, PAINT_BOLD, title);
    putc('\n', screen->file);
    if (standing[0] != '\0') {
        screen_text(screen, PAINT_PLAIN, standing);
        putc('\n', screen->file);
    }
}

static void print_question(const struct screen *screen, const struct survey_entry *entry,
                           const struct survey_asked *asked, bool explains, const char *problem) {
    struct survey_draft draft = survey_entry_draft(entry);
    putc('\n', screen->file);
    if (entry->doubt[0] != '\0') {
        screen_text(screen, PAINT_YELLOW, "To mind\n");
        screen_paragraph(screen, 2, entry->doubt);
        putc('\n', screen->file);
    }
    print_title(screen, asked, draft.unit);
    if (explains)
        screen_paragraph(screen, 2, asked->question->why);
    print_choices(screen, &draft, asked->question);
    if (problem[0] != '\0') {
        screen_text(screen, PAINT_RED, "Not taken\n");
        screen_paragraph(screen, 2, problem);
    }
    if (screen->width == 0 || screen->width >= WIDTH)
        screen_text(screen, PAINT_DIM,
                    "? explain   < back   <word back to it   > on to what is open   - empty   . stop\n");
    else
        screen_paragraph(screen, 0, "? explain, < back, > on, - empty, . stop");
}

/* --- What stands above it --- */

static void print_head(const struct screen *screen, const struct survey_entry *entry,
                       const struct survey_asked *asked) {
    char left[SURVEY_SHOWN] = "", right[64] = "";
    const char *order = json_string_value(json_object_get(entry->order, "order"));
    const char *customer = json_string_value(json_object_get(entry->order, "customer"));
    const char *window = json_string_value(json_object_get(entry->answers, "window"));
    if (asked->question->group == SURVEY_OF_NEXT)
        snprintf(right, sizeof right, "windows in the file: %zu", json_array_size(entry->windows));
    else if (asked->question->group == SURVEY_OF_ORDER)
        snprintf(right, sizeof right, "the order, %zu of %zu", asked->number, asked->of);
    else
        snprintf(right, sizeof right, "window %zu%s%s, %zu of %zu", entry->window + 1,
                 window != NULL ? " " : "", window != NULL ? window : "", asked->number, asked->of);
    int room = (screen->width > 0 ? screen->width : WIDTH) - screen_columns(right) - 2;
    text_copy(left, sizeof left, order != NULL ? order : "A new order");
    size_t used = strlen(left);
    if (customer != NULL)
        snprintf(left + used, sizeof left - used, "  %s", customer);
    screen_cut(screen, left, room > 10 ? room : 10);
    screen_text(screen, PAINT_BOLD, left);
    fprintf(screen->file, "%*s", room > screen_columns(left) ? room - screen_columns(left) + 2 : 2, "");
    screen_text(screen, PAINT_PLAIN, right);
    fputs("\n\n", screen->file);
}

static void print_answer(const struct screen *screen, const struct survey_draft *draft,
                         struct survey_place place) {
    const struct survey_question *question = &survey_questions[place.question];
    char text[SURVEY_SHOWN], label[40];
    survey_answer_show(draft, question, survey_draft_get(draft, question, place.item), text);
    if (text[0] == '\0')
        text_copy(text, sizeof text, "-");
    screen_cut(screen, text, screen->width > LABEL + 20 ? screen->width - LABEL - 4 : 20);
    snprintf(label, sizeof label, "  %-*s ", LABEL, question->label);
    screen_text(screen, PAINT_DIM, label);
    screen_text(screen, PAINT_PLAIN, text);
    putc('\n', screen->file);
}

/* The last answers before the question, as many as there is room for. */
static void print_answers(const struct screen *screen, const struct survey_entry *entry, size_t room) {
    struct survey_draft draft = survey_entry_draft(entry);
    enum survey_group group = survey_questions[entry->at.question].group;
    struct survey_place place =
        survey_course_first(group == SURVEY_OF_ORDER ? SURVEY_OF_ORDER : SURVEY_OF_WINDOW);
    struct survey_place before = entry->at;
    size_t shown = 0;
    while (shown < room && survey_course_back(&draft, &before))
        shown++;
    if (shown == room && shown > 0)
        place = before;
    for (bool more = true; more && (place.question != entry->at.question || place.item != entry->at.item);
         more = survey_course_next(&draft, &place))
        print_answer(screen, &draft, place);
}

static size_t lines_of(const char *text, size_t count) {
    size_t lines = 0;
    for (size_t i = 0; i < count; i++)
        lines += text[i] == '\n';
    return lines;
}

void survey_page_show(const struct screen *screen, const struct survey_entry *entry, bool explains,
                      const char *problem) {
    struct survey_asked asked;
    char *text = NULL;
    size_t count = 0;
    struct screen block = *screen;
    survey_entry_asked(entry, &asked);
    block.file = open_memstream(&text, &count);
    if (block.file == NULL)
        return;
    print_question(&block, entry, &asked, explains, problem);
    fclose(block.file);
    if (can_be_wiped(screen)) {
        size_t rows = terminal_rows(screen->file), used = lines_of(text, count) + 3;
        fputs("\033[H\033[2J", screen->file);
        print_head(screen, entry, &asked);
        if (asked.question->group == SURVEY_OF_NEXT && entry->takeoff != NULL)
            survey_result_print(screen, entry->takeoff, rows > used ? rows - used : 1);
        else if (asked.question->group != SURVEY_OF_NEXT)
            print_answers(screen, entry, rows > used ? rows - used : 0);
    }
    fwrite(text, 1, count, screen->file);
    free(text);
    screen_text(screen, PAINT_BOLD, "> ");
    fflush(screen->file);
}
