/* SPDX-License-Identifier: Apache-2.0 */
#include "rack.h"

#include "cutting/cutting.h"
#include "workshop.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RACK_MOST = 4000, PIECES_MOST = 64, WINDOWS = 12 };

enum method { NEAREST, BEST_FIT, ENGINE };

struct rule {
    const char *name;
    enum method method;
    ell_length usable;
    int percent;
};

struct offcut {
    ell_length length;
    int born; /* day */
};

struct rack {
    const struct rule *rule;
    struct offcut offcuts[RACK_MOST];
    size_t count;
    int64_t bought, sold, scrap; /* tenths */
};

static const struct rule rules[] = {
    {"first-fit, nearest bar", NEAREST, 6000, 0}, {"best-fit decreasing", BEST_FIT, 6000, 0},
    {"engine, 600 mm, 50 %", ENGINE, 6000, 50},   {"engine, 600 mm, 80 %", ENGINE, 6000, 80},
    {"engine, 900 mm, 80 %", ENGINE, 9000, 80},   {"engine, 1200 mm, 80 %", ENGINE, 12000, 80},
    {"engine, 900 mm, 95 %", ENGINE, 9000, 95},
};
enum { RULES = sizeof rules / sizeof rules[0] };

static const ell_length fresh[] = {60000, 50000, 36000};
static const ell_length kerf = 22, trim = 100;

static void keep(struct rack *rack, ell_length remainder, int day) {
    if (remainder >= rack->rule->usable && rack->count < RACK_MOST)
        rack->offcuts[rack->count++] = (struct offcut){remainder, day};
    else
        rack->scrap += remainder;
}

/* By hand: longest piece first; from the offcut or open bar that is nearest to hand (the first) or where least is left. */
static void cut_by_hand(struct rack *rack, const ell_length *pieces, size_t count, int day) {
    struct {
        ell_length left;
        size_t offcut; /* SIZE_MAX: a new bar */
    } open[PIECES_MOST];
    size_t open_count = 0;
    bool used[RACK_MOST] = {false};
    for (size_t p = 0; p < count; p++) {
        size_t best = SIZE_MAX, best_offcut = SIZE_MAX;
        ell_length least = INT64_MAX;
        bool nearest = rack->rule->method == NEAREST;
        for (size_t i = 0; i < open_count && !(nearest && best != SIZE_MAX); i++)
            if (open[i].left >= pieces[p] && open[i].left - pieces[p] < least) {
                best = i;
                least = open[i].left - pieces[p];
            }
        for (size_t i = 0; i < rack->count && !(nearest && (best != SIZE_MAX || best_offcut != SIZE_MAX));
             i++)
            if (!used[i] && rack->offcuts[i].length >= pieces[p] &&
                rack->offcuts[i].length - pieces[p] < least) {
                best_offcut = i;
                least = rack->offcuts[i].length - pieces[p];
            }
        if (best_offcut != SIZE_MAX) {
            used[best_offcut] = true;
            best = open_count++;
            open[best].left = rack->offcuts[best_offcut].length;
        } else if (best == SIZE_MAX) {
            best = open_count++;
            open[best].left = fresh[0] - trim;
            rack->bought += fresh[0];
        }
        open[best].left -= pieces[p] + kerf;
        if (open[best].left < 0)
            open[best].left = 0;
    }
    size_t kept = 0;
    for (size_t i = 0; i < rack->count; i++)
        if (!used[i])
            rack->offcuts[kept++] = rack->offcuts[i];
    rack->count = kept;
    for (size_t i = 0; i < open_count; i++)
        keep(rack, open[i].left, day);
}

static bool cut_by_engine(struct rack *rack, const ell_length *pieces, size_t count, int day) {
    struct cutting_problem problem;
    struct cutting_plan plan;
    struct fault fault;
    struct cutting_options options = cutting_options_default();
    options.clock = NULL;
    options.work = 400000;
    cutting_problem_clear(&problem);
    problem.saw.kerf = kerf;
    problem.saw.lead_trim = trim;
    problem.remainder =
        (struct cutting_remainder){rack->rule->usable, rack->rule->percent, CUTTING_UNLIMITED};
    problem.bars = calloc(rack->count + 3, sizeof *problem.bars);
    problem.pieces = calloc(count + 1, sizeof *problem.pieces);
    bool fine = problem.bars != NULL && problem.pieces != NULL;
    for (size_t i = 0; fine && i < rack->count + 3; i++) {
        bool offcut = i >= 3;
        ell_length length = offcut ? rack->offcuts[i - 3].length : fresh[i];
        problem.bars[problem.bar_count++] =
            (struct cutting_bar){.length = length,
                                 .quantity = offcut ? 1 : CUTTING_UNLIMITED,
                                 .value = offcut ? length * rack->rule->percent / 100 : length,
                                 .squared = offcut,
                                 .age = offcut ? day - rack->offcuts[i - 3].born : 0};
        snprintf(problem.bars[i].name, CUTTING_NAME, "%zu", i);
    }
    for (size_t i = 0; fine && i < count; i++) {
        problem.pieces[problem.piece_count++] = (struct cutting_piece){.length = pieces[i], .quantity = 1};
        snprintf(problem.pieces[i].name, CUTTING_NAME, "%zu", i);
    }
    fine = fine && cutting_solve(&problem, &options, &plan, &fault);
    for (size_t i = 0; fine && i < plan.run_count; i++)
        if (plan.runs[i].bar >= 3)
            rack->offcuts[plan.runs[i].bar - 3].length = 0;
    size_t kept = 0;
    for (size_t i = 0; fine && i < rack->count; i++)
        if (rack->offcuts[i].length > 0)
            rack->offcuts[kept++] = rack->offcuts[i];
    if (fine)
        rack->count = kept;
    for (size_t i = 0; fine && i < plan.run_count; i++)
        for (int64_t n = 0; n < plan.runs[i].count; n++) {
            if (plan.runs[i].bar < 3)
                rack->bought += fresh[plan.runs[i].bar];
            keep(rack, plan.runs[i].account.remainder, day);
        }
    if (fine)
        cutting_plan_free(&plan);
    cutting_problem_free(&problem);
    return fine;
}

static int longest_first(const void *left, const void *right) {
    ell_length a = *(const ell_length *)left, b = *(const ell_length *)right;
    return (a < b) - (a > b);
}

/* One group's pieces of one day: the same for every rule. */
static bool demand(int day, ell_length *pieces, size_t *count) {
    struct cutting_problem problem;
    uint64_t state = (uint64_t)day * 31 + 7;
    int windows = (int)workshop_between(&state, WINDOWS / 2, WINDOWS * 3 / 2);
    if (!workshop_group((uint64_t)day * 7919 + 3, windows, 0, 0, &problem))
        return false;
    *count = 0;
    for (size_t i = 0; i < problem.piece_count && *count < PIECES_MOST; i++)
        pieces[(*count)++] = problem.pieces[i].length;
    cutting_problem_free(&problem);
    qsort(pieces, *count, sizeof *pieces, longest_first);
    return true;
}

static void report(const struct rack *rack, int days) {
    double metres = 0, age = 0;
    for (size_t i = 0; i < rack->count; i++) {
        metres += (double)rack->offcuts[i].length / 10000;
        age += days - rack->offcuts[i].born;
    }
    printf("{\"work\":\"rack\",\"rule\":\"%s\",\"days\":%d,\"bought_per_sold\":%.4f,\"scrap_percent\":%.3f,"
           "\"offcuts\":%zu,\"rack_metres\":%.1f,\"mean_age_days\":%.1f}\n",
           rack->rule->name, days, (double)rack->bought / (double)rack->sold,
           100 * (double)rack->scrap / (double)rack->bought, rack->count, metres,
           rack->count ? age / (double)rack->count : 0);
}

static bool draw(const char *path, size_t counts[RULES][RACK_DAYS_MOST], int days) {
    static const char *const colours[] = {"#888",    "#555",    "#1b9e77", "#d95f02",
                                          "#7570b3", "#e7298a", "#66a61e"};
    FILE *file = fopen(path, "w");
    size_t most = 1;
    if (file == NULL)
        return false;
    for (size_t r = 0; r < RULES; r++)
        for (int day = 0; day < days; day++)
            most = counts[r][day] > most ? counts[r][day] : most;
    fprintf(file,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 820 420\" font-family=\"sans-serif\" "
            "font-size=\"12\">\n<text x=\"40\" y=\"16\">Offcuts on the rack, day by day (0 to %zu)</text>\n",
            most);
    for (size_t r = 0; r < RULES; r++) {
        fprintf(file, "<polyline fill=\"none\" stroke=\"%s\" points=\"", colours[r]);
        for (int day = 0; day < days; day++)
            fprintf(file, "%.1f,%.1f ", 40 + 560.0 * day / days,
                    400 - 370.0 * (double)counts[r][day] / (double)most);
        fprintf(file, "\"/>\n<text x=\"610\" y=\"%zu\" fill=\"%s\">%s</text>\n", 40 + 20 * r, colours[r],
                rules[r].name);
    }
    fprintf(file, "</svg>\n");
    return fclose(file) == 0;
}

bool rack_simulate(int days, const char *plot) {
    static size_t counts[RULES][RACK_DAYS_MOST];
    struct rack *rack = malloc(sizeof *rack);
    bool fine = rack != NULL;
    for (size_t r = 0; fine && r < RULES; r++) {
        memset(rack, 0, sizeof *rack);
        rack->rule = &rules[r];
        for (int day = 0; fine && day < days; day++) {
            ell_length pieces[PIECES_MOST];
            size_t count;
            fine = demand(day, pieces, &count);
            for (size_t i = 0; fine && i < count; i++)
                rack->sold += pieces[i];
            if (fine && rules[r].method == ENGINE)
                fine = cut_by_engine(rack, pieces, count, day);
            else if (fine)
                cut_by_hand(rack, pieces, count, day);
            counts[r][day] = rack->count;
        }
        if (fine)
            report(rack, days);
    }
    free(rack);
    return fine && (plot == NULL || draw(plot, counts, days));
}
