/* Why so much is bought, in words. SPDX-License-Identifier: Apache-2.0 */
#include "desk/reckoning.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { QUANTITY_TEXT = 32 };

static const char *said(const struct reckoning *of, double quantity, char text[QUANTITY_TEXT]) {
    if (row_by_length(of->row))
        snprintf(text, QUANTITY_TEXT, "%.15g m", round(quantity / 100) / 100);
    else
        snprintf(text, QUANTITY_TEXT, "%.15g", round(quantity * 10) / 10);
    return text;
}

static bool of_bars(const struct reckoning *of) {
    return strcmp(row_text(of->row, "kind"), "bar") == 0;
}

/* Only where a rest of a reel is too short for some of what is asked for. */
static void say_rests(FILE *text, const struct reckoning *of) {
    char usable[QUANTITY_TEXT], longest[QUANTITY_TEXT];
    if (of->short_rests == 0)
        return;
    fprintf(text,
            ", of which %s can serve (%zu %s shorter than the longest piece asked for, %s, and %s for the "
            "share of demand in pieces that fit),",
            said(of, of->usable, usable), of->short_rests,
            of->short_rests == 1 ? "rest of a reel is" : "rests of reels are", said(of, of->longest, longest),
            of->short_rests == 1 ? "counts" : "count");
}

static void say_position(FILE *text, const struct reckoning *of) {
    char hand[QUANTITY_TEXT], coming[QUANTITY_TEXT], wanted[QUANTITY_TEXT], hard[QUANTITY_TEXT],
        position[QUANTITY_TEXT];
    char point[QUANTITY_TEXT];
    fprintf(text, "%s on hand", said(of, of->on_hand, hand));
    say_rests(text, of);
    fprintf(text, " and %s on order, less %s wanted by open orders", said(of, of->on_order, coming),
            said(of, of->hard + of->soft, wanted));
    if (of->hard > 0)
        fprintf(text, " (%s of it by released ones)", said(of, of->hard, hard));
    fprintf(text, ", make %s, %s the reorder point of %s: ", said(of, (double)of->position, position),
            of->position > of->reorder.point ? "above" : "at or below",
            said(of, (double)of->reorder.point, point));
}

static void say_history(FILE *text, const struct reckoning *of) {
    const struct reorder *reorder = &of->reorder;
    char mean[QUANTITY_TEXT], deviation[QUANTITY_TEXT];
    size_t all = json_array_size(json_object_get(of->row, "weeks"));
    const char *weeks = reorder->weeks == 1 ? "week" : "weeks";
    const char *who = of_bars(of) ? "the saw opened" : "orders asked for";
    if (reorder->law == DEMAND_NONE)
        fprintf(text, "%s none in %zu %s", who, reorder->weeks, weeks);
    else
        fprintf(text, "%s %s a week over %zu %s (deviation %s, %s law)", who, said(of, reorder->mean, mean),
                reorder->weeks, weeks, said(of, reorder->deviation, deviation),
                demand_law_words[reorder->law]);
    if (all > reorder->weeks)
        fprintf(text, ", %zu more the workshop was shut", all - reorder->weeks);
    if (fabs(reorder->season - 1) >= 0.005)
        fprintf(text, ", and the time of the year now takes %.2f times as much", reorder->season);
}

static void say_lead(FILE *text, const struct reckoning *of) {
    const char *from = row_text(of->row, "lead_from");
    bool supplier = strcmp(from, "supplier") == 0;
    fprintf(text, ", so the lead time of %.15g days ", row_number(of->row, "lead_days"));
    if (supplier || strcmp(from, "receipts") == 0)
        fprintf(text, "(deviation %.15g) as seen in %.0f receipts%s", row_number(of->row, "lead_deviation"),
                row_number(of->row, "lead_seen"), supplier ? " from this supplier" : "");
    else
        fputs(strcmp(from, "catalogue") == 0 ? "by the catalogue" : "assumed, for nobody told", text);
}

static void say_point(FILE *text, const struct reckoning *of) {
    char during[QUANTITY_TEXT], safety[QUANTITY_TEXT];
    fprintf(
        text,
        " takes %s, and %s more is kept so that %.15g %% of lead times pass without running out (class %s)",
        said(of, of->reorder.lead_mean, during), said(of, of->reorder.safety_stock, safety),
        of->service * 100, row_text(of->row, "class"));
}

static void say_lot(FILE *text, const struct reckoning *of) {
    char buy[QUANTITY_TEXT];
    double pack = row_number(of->row, "pack"), least = row_number(of->row, "least");
    double metre = row_by_length(of->row) ? ELL_MM : 1;
    if (of->buy == 0) {
        fputs("; nothing to buy", text);
        return;
    }
    fprintf(text, "; buy %s", said(of, (double)of->buy, buy));
    if (pack > 1)
        fprintf(text, " in %s of %s", row_by_length(of->row) ? "reels" : "packs",
                said(of, pack * metre, buy));
    if (least * metre >= (double)of->buy)
        fprintf(text, ", the least the supplier sells");
    if (of->for_price)
        fprintf(text, ", for from there on one costs %.2f instead of %.2f", of->price / 100,
                row_number(of->row, "price") / 100);
}

static void say_bars(FILE *text, const struct reckoning *of) {
    double yield = row_number(of->row, "yield");
    if (of->soft > 0 && of_bars(of))
        fprintf(text, " What is wanted is bars for the pieces in no plan, at %s yield of %.1f %%.",
                yield > 0 ? "the last year's" : "an assumed", yield > 0 ? yield * 100 : 100.0);
}

static void say_project(FILE *text, const struct reckoning *of) {
    char week[11];
    size_t count = of->week_count;
    if (of->reorder.law == DEMAND_NONE && of->hard + of->soft <= 0)
        return;
    fputs(" As orders, purchases and forecast stand it ", text);
    if (of->project.below == count)
        fprintf(text, "keeps its safety stock for %zu weeks.", count);
    if (of->project.below < of->project.out) {
        row_week(of->row, of->project.below, week);
        fprintf(text, "falls below its safety stock in the week of %s%s", week,
                of->project.out < count ? " and " : ".");
    }
    if (of->project.out < count) {
        row_week(of->row, of->project.out, week);
        fprintf(text, "runs out in the week of %s.", week);
    }
}

char *reckoning_why(const struct reckoning *reckoning) {
    char *why = NULL;
    size_t size;
    FILE *text = open_memstream(&why, &size);
    if (text == NULL)
        return NULL;
    say_position(text, reckoning);
    say_history(text, reckoning);
    say_lead(text, reckoning);
    say_point(text, reckoning);
    say_lot(text, reckoning);
    if (reckoning->reorder.weeks < REORDERING_WEEKS_ENOUGH)
        fputs(", but so short a history is hardly more than a guess", text);
    if (reckoning->on_a_guess)
        fprintf(text, ", so beyond the reorder point only the use of %d weeks is bought",
                REORDERING_GUESS_COVERS);
    putc('.', text);
    say_bars(text, reckoning);
    say_project(text, reckoning);
    fclose(text);
    return why;
}
