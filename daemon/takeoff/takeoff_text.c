/* A take-off for a terminal. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/work.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Where the text goes; memory that runs out shows as an error of the stream. */
struct page {
    FILE *out;
    int width; /* columns */
};

static void line(struct page *page, const char *format, ...) PRINTF_LIKE(2, 3);

static void line(struct page *page, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vfprintf(page->out, format, arguments);
    va_end(arguments);
    fputc('\n', page->out);
}

/* A text in lines that fit, broken at blanks, the first set in by `first` columns and the others by `later`. */
static void wrapped(struct page *page, int first, int later, const char *format, ...) PRINTF_LIKE(4, 5);

static void wrapped(struct page *page, int first, int later, const char *format, ...) {
    char whole[1024];
    va_list arguments;
    va_start(arguments, format);
    /* NOLINTNEXTLINE(clang-analyzer-valist.Uninitialized): va_start is the line above. */
    vsnprintf(whole, sizeof whole, format, arguments);
    va_end(arguments);
    int indent = first;
    for (const char *at = whole; *at != '\0'; indent = later) {
        size_t room = (size_t)length_most(8, page->width + 2 - indent), length = strlen(at), cut = length;
        if (length > room) {
            for (cut = room; cut > 0 && at[cut] != ' ';)
                cut--;
            if (cut == 0)
                cut = strcspn(at, " ");
        }
        line(page, "%*s%.*s", indent, "", (int)cut, at);
        at += cut + (at[cut] == ' ');
    }
}

/* Column of a place along the track, 0 to width - 1. */
static int column_of(const struct page *page, const struct takeoff *takeoff, ell_length place) {
    return (int)divide_near(place * (page->width - 1), length_most(1, takeoff->overall));
}

static void write_head(struct page *page, const struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    char overall[ELL_LENGTH_TEXT], above[ELL_LENGTH_TEXT], height[ELL_LENGTH_TEXT];
    wrapped(page, 0, 2, "%s%s%s  %s, %s, %s, drawn %s, %s fixed %s", survey->window,
            survey->room[0] ? ", " : "", survey->room, takeoff->system->name,
            takeoff->catalogue->finishes[takeoff->finish].name, control_words[survey->control],
            draw_words[survey->draw], position_words[survey->position], place_words[survey->place]);
    for (size_t i = 0; i < survey->understood_count; i++)
        line(page, "  understood: %s %s = %s mm", survey->understood[i].field, survey->understood[i].given,
             ell_length_text(survey->understood[i].length, overall));
    char over[ELL_LENGTH_TEXT + 48] = "", floor[ELL_LENGTH_TEXT + 32] = "";
    if (takeoff->above != SURVEY_UNKNOWN)
        snprintf(over, sizeof over, "; fixing line %s mm above the opening",
                 ell_length_text(takeoff->above, above));
    if (takeoff->height != SURVEY_UNKNOWN)
        snprintf(floor, sizeof floor, ", %s mm above the floor", ell_length_text(takeoff->height, height));
    wrapped(page, 2, 4, "overall %s mm%s%s", ell_length_text(takeoff->overall, overall), over, floor);
}

/* The track to scale: | ends, o brackets, # joins, ~ bends, ^ midpoint of the opening, C the cord's end. */
static void write_picture(struct page *page, const struct takeoff *takeoff) {
    char row[256], under[256];
    memset(row, '=', sizeof row);
    memset(under, ' ', sizeof under);
    row[page->width] = under[page->width] = '\0';
    row[0] = row[page->width - 1] = '|';
    for (size_t i = 0; i < takeoff->bend_count; i++) {
        const struct takeoff_bend *bend = &takeoff->bends[i];
        int last = column_of(page, takeoff, bend->start + bend->length);
        for (int at = column_of(page, takeoff, bend->start); at <= last; at++)
            row[at] = '~';
    }
    for (size_t i = 0; i < takeoff->mark_count; i++)
        row[column_of(page, takeoff, takeoff->marks[i].from_left)] = takeoff->marks[i].join ? '#' : 'o';
    under[column_of(page, takeoff, takeoff->midpoint)] = '^';
    if (takeoff->survey.control == CONTROL_CORD_LEFT)
        under[0] = 'C';
    else if (takeoff->survey.control == CONTROL_CORD_RIGHT)
        under[page->width - 1] = 'C';
    for (size_t end = strlen(under); end > 0 && under[end - 1] == ' ';)
        under[--end] = '\0';
    line(page, "\n  %s\n  %s", row, under);
    line(page, "  o bracket  # join%s  ^ midpoint of the opening%s",
         takeoff->bend_count > 0 ? "  ~ bend" : "", takeoff->system->corded ? "  C cord" : "");
}

static void write_marks(struct page *page, const struct takeoff *takeoff) {
    char left[ELL_LENGTH_TEXT], middle[ELL_LENGTH_TEXT];
    const struct takeoff_split *split = &takeoff->splits[0];
    for (size_t i = 0; i < takeoff->split_count && i == 0; i++)
        for (size_t j = 0; j < split->piece_count; j++)
            line(page, "  piece %zu of %zu: %s mm", j + 1, split->piece_count,
                 ell_length_text(split->pieces[j], left));
    if (takeoff->split_count > 1) {
        fprintf(page->out, "  it may also be joined at");
        for (size_t i = 1; i < takeoff->split_count; i++) {
            fprintf(page->out, "%s", i > 1 ? ";" : "");
            for (size_t j = 0; j + 1 < takeoff->splits[i].piece_count; j++)
                fprintf(page->out, " %s", ell_length_text(takeoff->splits[i].joins[j], left));
        }
        fputc('\n', page->out);
    }
    line(page, "\n  mark      from left  from midpoint, mm");
    for (size_t i = 0; i < takeoff->mark_count; i++)
        line(page, "  %2zu %-6s %9s  %13s", i + 1, takeoff->marks[i].join ? "join" : "",
             ell_length_text(takeoff->marks[i].from_left, left),
             ell_length_text(takeoff->marks[i].from_midpoint, middle));
}

static void write_parts(struct page *page, const struct takeoff *takeoff) {
    const struct fixing *fixing = takeoff->fixing;
    char length[ELL_LENGTH_TEXT], depth[ELL_LENGTH_TEXT];
    fputc('\n', page->out);
    if (fixing != NULL)
        wrapped(page, 2, 4, "into %s: drill %.3g mm, %s mm deep%s%s%s",
                takeoff->catalogue->substrates[takeoff->into].name, fixing->drill,
                ell_length_text(fixing->depth, depth), fixing->pilot ? " (pilot hole)" : "",
                fixing->note[0] ? ". " : "", fixing->note);
    line(page, "\n  quantity  part");
    for (size_t i = 0; i < takeoff->part_count; i++) {
        const struct takeoff_part *part = &takeoff->parts[i];
        const struct part *row = &takeoff->catalogue->parts[part->part];
        if (row->unit == UNIT_LENGTH)
            wrapped(page, 2, 12, "%5s mm  %s (%s; %s)", ell_length_text(part->quantity, length), row->code,
                    row->name, part->why);
        else
            wrapped(page, 2, 12, "%8" PRId64 "  %s (%s; %s)", part->quantity, row->code, row->name,
                    part->why);
    }
}

static void write_loads(struct page *page, const struct takeoff *takeoff) {
    const struct takeoff_hanging *hanging = &takeoff->hanging;
    const struct takeoff_curtain *curtain = &takeoff->curtains[0];
    char width[ELL_LENGTH_TEXT], drop[ELL_LENGTH_TEXT], cloth[ELL_LENGTH_TEXT];
    fputc('\n', page->out);
    wrapped(page, 2, 4,
            "%zu curtain%s %s mm wide, %s mm long finished; %" PRId64 " hooks each; %" PRId64
            " widths of cloth, %s mm to buy",
            takeoff->curtain_count, takeoff->curtain_count == 1 ? "" : "s",
            ell_length_text(curtain->width, width), ell_length_text(curtain->drop, drop), curtain->hooks,
            takeoff->cloth_widths, ell_length_text(takeoff->cloth, cloth));
    if (hanging->state_count > 0)
        wrapped(page, 2, 4,
                "curtains %.1f kg; worst bracket %.0f N of %.0f N (%s); used: brackets %.0f %%, screws %.0f "
                "%%, "
                "bending %.0f %%, sag %.0f %%",
                hanging->weight / 1000, hanging->reaction, hanging->limit, hanging->limit_by,
                hanging->bracket_use * 100, hanging->screw_use * 100, hanging->bending_use * 100,
                hanging->sag_use * 100);
}

/* The worst first. */
static void write_advice(struct page *page, const struct takeoff *takeoff) {
    static const char *const words[] = {"note", "CAUTION", "REFUSED"};
    fputc('\n', page->out);
    for (int severity = SEVERITY_REFUSAL; severity >= SEVERITY_NOTE; severity--)
        for (size_t i = 0; i < takeoff->advice_count; i++)
            if ((int)takeoff->advice[i].severity == severity)
                wrapped(page, 2, 4, "%s: %s %s", words[severity], takeoff->advice[i].message,
                        takeoff->advice[i].remedy);
}

char *takeoff_text(const struct takeoff *takeoff, int columns) {
    char *text = NULL;
    size_t size = 0;
    struct page page = {open_memstream(&text, &size), (int)length_most(22, length_least(columns, 202)) - 2};
    if (page.out == NULL)
        return NULL;
    write_head(&page, takeoff);
    if (takeoff->mark_count > 0) {
        write_picture(&page, takeoff);
        write_marks(&page, takeoff);
    }
    write_parts(&page, takeoff);
    write_loads(&page, takeoff);
    write_advice(&page, takeoff);
    bool broken = ferror(page.out) != 0;
    if (fclose(page.out) != 0 || broken) {
        free(text);
        return NULL;
    }
    return text;
}
