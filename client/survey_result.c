/* SPDX-License-Identifier: Apache-2.0 */
#include "survey_result.h"

#include "survey_questions.h"

#include <inttypes.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT = 512 };

static void add(char text[TEXT], const char *format, ...) PRINTF_LIKE(2, 3);

static void add(char text[TEXT], const char *format, ...) {
    size_t used = strlen(text);
    va_list arguments;
    va_start(arguments, format);
    /* NOLINTNEXTLINE(clang-analyzer-valist.Uninitialized): va_start is the line above. */
    vsnprintf(text + used, TEXT - used, format, arguments);
    va_end(arguments);
}

static int64_t count_of(const struct takeoff *takeoff, enum part_role role) {
    int64_t count = 0;
    for (size_t i = 0; i < takeoff->part_count; i++)
        if (takeoff->catalogue->parts[takeoff->parts[i].part].role == role)
            count += takeoff->parts[i].quantity;
    return count;
}

static void say_track(const struct takeoff *takeoff, char text[TEXT]) {
    char length[ELL_LENGTH_TEXT];
    const struct takeoff_split *split = &takeoff->splits[0];
    add(text, "%s mm end to end", ell_length_text(takeoff->overall, length));
    if (takeoff->split_count > 0 && split->piece_count > 1) {
        add(text, ", in %zu pieces:", split->piece_count);
        for (size_t i = 0; i < split->piece_count; i++)
            add(text, "%s %s", i > 0 ? " +" : "", ell_length_text(split->pieces[i], length));
    } else if (takeoff->split_count > 0) {
        add(text, ", in one piece");
    }
    add(text, "; %zu brackets, %" PRId64 " gliders", takeoff->mark_count, count_of(takeoff, ROLE_GLIDER));
    if (takeoff->cord_length > 0)
        add(text, ", %s mm of cord", ell_length_text(takeoff->cord_length, length));
    add(text, ".");
}

static void say_hanging(const struct takeoff *takeoff, char text[TEXT]) {
    const struct takeoff_hanging *hanging = &takeoff->hanging;
    if (hanging->limit <= 0)
        return;
    add(text,
        "Curtains of %.1f kg: of what is allowed the worst bracket carries %.0f %%, its screws %.0f %%; the "
        "track bears %.0f %%.",
        hanging->weight / 1000, ceil(hanging->bracket_use * 100), ceil(hanging->screw_use * 100),
        ceil(fmax(fmax(hanging->track_use, hanging->bending_use), hanging->sag_use) * 100));
    if (hanging->invented)
        add(text, " (ratings invented)");
}

static void say_refusals(const struct screen *screen, const struct takeoff *takeoff) {
    for (size_t i = 0; i < takeoff->advice_count; i++) {
        const struct takeoff_advice *advice = &takeoff->advice[i];
        char text[TEXT] = "";
        if (advice->severity != SEVERITY_REFUSAL)
            continue;
        add(text, "%s %s", advice->message, advice->remedy);
        if (survey_question_find(SURVEY_OF_WINDOW, advice->where) < survey_question_count)
            add(text, " To change it: <%s", advice->where);
        screen_text(screen, PAINT_RED, "It must not be made so\n");
        screen_paragraph(screen, 2, text);
    }
}

static size_t lines_of(const char *text) {
    size_t lines = 0;
    for (; *text != '\0'; text++)
        lines += *text == '\n';
    return lines;
}

/* Those that there is room for, a line being kept for the number of the others. */
static void say_cautions(const struct screen *screen, const struct takeoff *takeoff, size_t room) {
    size_t left = 0;
    for (size_t i = 0; i < takeoff->advice_count; i++) {
        const struct takeoff_advice *advice = &takeoff->advice[i];
        struct screen inner = *screen;
        char sentence[TEXT] = "", *text = NULL;
        size_t size;
        if (advice->severity != SEVERITY_CAUTION)
            continue;
        add(sentence, "caution: %s", advice->message);
        inner.file = open_memstream(&text, &size);
        if (inner.file == NULL)
            return;
        screen_paragraph(&inner, 2, sentence);
        fclose(inner.file);
        if (left == 0 && lines_of(text) < room) {
            room -= lines_of(text);
            fputs(text, screen->file);
        } else {
            left++;
        }
        free(text);
    }
    if (left > 0)
        fprintf(screen->file, "  and %zu caution%s more; the fitting sheet has all\n", left,
                left > 1 ? "s" : "");
}

void survey_result_print(const struct screen *screen, const struct takeoff *takeoff, size_t rows) {
    char head[TEXT] = "", track[TEXT] = "", hanging[TEXT] = "", *text = NULL;
    size_t size;
    const struct survey *survey = &takeoff->survey;
    struct screen first = *screen;
    first.file = open_memstream(&text, &size);
    if (first.file == NULL)
        return;
    add(head, "%s%s%s: %s, %s\n", survey->window, survey->room[0] != '\0' ? ", " : "", survey->room,
        takeoff->system->name, takeoff->catalogue->finishes[takeoff->finish].name);
    screen_text(&first, PAINT_BOLD, head);
    say_track(takeoff, track);
    screen_paragraph(&first, 2, track);
    say_hanging(takeoff, hanging);
    if (hanging[0] != '\0')
        screen_paragraph(&first, 2, hanging);
    say_refusals(&first, takeoff);
    fclose(first.file);
    fputs(text, screen->file);
    say_cautions(screen, takeoff, rows > lines_of(text) ? rows - lines_of(text) : 1);
    free(text);
}
