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

static void say_wanted(FILE *text, const struct reckoning *of) {
    char wanted[QUANTITY_TEXT], hard[QUANTITY_TEXT];
    said(of, of->hard + of->soft, wanted);
    said(of, of->hard, hard);
    fprintf(text, ", less %s wanted by open orders", wanted);
    if (of->hard > 0 && of->soft > 0)
        fprintf(text, " (%s of it by released ones)", hard);
    else if (of->hard > 0)
        fputs(" (all of it by released ones)", text);
}

static void say_position(FILE *text, const struct reckoning *of) {
    char hand[QUANTITY_TEXT], coming[QUANTITY_TEXT], position[QUANTITY_TEXT], point[QUANTITY_TEXT];
    int64_t above = of->position - of->reorder.point;
    fprintf(text, "%s on hand", said(of, of->on_hand, hand));
    say_rests(text, of);
    fprintf(text, " and %s on order", said(of, of->on_order, coming));
    say_wanted(text, of);
    fprintf(text, ", make %s, %s the reorder point of %s.", said(of, (double)of->position, position),
            above > 0   ? "above"
            : above < 0 ? "below"
                        : "at",
            said(of, (double)of->reorder.point, point));
}

static void say_history(FILE *text, const struct reckoning *of) {
    const struct reorder *reorder = &of->reorder;
    char mean[QUANTITY_TEXT], deviation[QUANTITY_TEXT];
    size_t shut = json_array_size(json_object_get(of->row, "weeks")) - reorder->weeks;
    const char *weeks = reorder->weeks == 1 ? "week" : "weeks";
    const char *who = of_bars(of) ? "The saw opened" : "Orders asked for";
    if (reorder->law == DEMAND_NONE)
        fprintf(text, " %s none in %zu %s", who, reorder->weeks, weeks);
    else
        fprintf(text, " %s %s a week over %zu %s", who, said(of, reorder->mean, mean), reorder->weeks, weeks);
    if (reorder->law != DEMAND_NONE && reorder->weeks > 1)
        fprintf(text, " (deviation %s)", said(of, reorder->deviation, deviation));
    if (shut > 0)
        fprintf(text, ", %zu more the workshop was shut", shut);
    if (fabs(reorder->season - 1) >= 0.005)
        fprintf(text, ", and the time of the year now takes %.2f times as much", reorder->season);
}

static void say_lead(FILE *text, const struct reckoning *of) {
    const char *from = row_text(of->row, "lead_from");
    bool supplier = strcmp(from, "supplier") == 0;
    double days = row_number(of->row, "lead_days");
    char during[QUANTITY_TEXT];
    fprintf(text, ": the lead time of %.15g %s", days, days == 1 ? "day" : "days");
    if (supplier || strcmp(from, "receipts") == 0)
        fprintf(text, " (deviation %.15g), as seen in %.0f receipts%s,",
                row_number(of->row, "lead_deviation"), row_number(of->row, "lead_seen"),
                supplier ? " from this supplier" : "");
    else
        fputs(strcmp(from, "catalogue") == 0 ? " by the catalogue" : ", assumed because nobody told,", text);
    fprintf(text, " takes %s,",
            of->reorder.law == DEMAND_NONE ? "none" : said(of, of->reorder.lead_mean, during));
}

static void say_point(FILE *text, const struct reckoning *of) {
    static const char *const by[] = {[DEMAND_NORMAL] = "by the normal distribution",
                                     [DEMAND_POISSON] = "by Poisson's distribution",
                                     [DEMAND_EMPIRICAL] = "by what these weeks show"};
    char safety[QUANTITY_TEXT];
    const char *class = row_text(of->row, "class");
    say_lead(text, of);
    if (of->reorder.law == DEMAND_NONE) {
        fprintf(text, " so none is kept for orders to come (class %s).", class);
        return;
    }
    if (of->reorder.law == DEMAND_NORMAL && of->reorder.weeks < 2) {
        fprintf(text, " and one week does not tell what safety stock it wants (class %s).", class);
        return;
    }
    fprintf(text,
            " and with a safety stock of %s, %.15g %% of lead times pass without running out, %s (class %s).",
            said(of, of->reorder.safety_stock, safety), of->service * 100, by[of->reorder.law], class);
}

/* "7 packs of 50" behind what is bought. */
static void say_packs(FILE *text, const struct reckoning *of) {
    char content[QUANTITY_TEXT];
    double pack = row_number(of->row, "pack") * (row_by_length(of->row) ? ELL_MM : 1);
    if (pack <= 1)
        return;
    long long packs = llround((double)of->buy / pack);
    const char *kind = row_by_length(of->row) ? "reel" : "pack";
    fprintf(text, " in %lld %s%s of %s", packs, kind, packs == 1 ? "" : "s", said(of, pack, content));
}

static void say_lot(FILE *text, const struct reckoning *of) {
    char buy[QUANTITY_TEXT];
    double metre = row_by_length(of->row) ? ELL_MM : 1;
    bool short_history = of->reorder.weeks < REORDERING_WEEKS_ENOUGH;
    if (of->buy == 0)
        fputs(" Nothing to buy", text);
    else
        fprintf(text, " Buy %s", said(of, (double)of->buy, buy));
    if (of->buy > 0) {
        say_packs(text, of);
        if (row_number(of->row, "least") * metre >= (double)of->buy)
            fputs(", the least the supplier sells", text);
        if (of->for_price)
            fprintf(text, ", for from there on %s costs %.2f instead of %.2f",
                    row_by_length(of->row) ? "a metre" : "one", of->price / 100,
                    row_number(of->row, "price") / 100);
    }
    if (short_history)
        fputs(", but so short a history is hardly more than a guess", text);
    if (of->on_a_guess)
        fprintf(text, ", so beyond the reorder point only what %d weeks ask for is bought",
                REORDERING_GUESS_COVERS);
    putc('.', text);
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
        fprintf(text, "keeps its safety stock for %zu %s.", count, count == 1 ? "week" : "weeks");
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
    say_point(text, reckoning);
    say_lot(text, reckoning);
    say_bars(text, reckoning);
    say_project(text, reckoning);
    fclose(text);
    return why;
}
