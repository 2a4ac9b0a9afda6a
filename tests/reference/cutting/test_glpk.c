/* Random workshop problems against GLPK, which gets every pattern as a column of one integer program.
 * SPDX-License-Identifier: Apache-2.0 */
#include "support.h"

#include <glpk.h>
#include <math.h>
#include <stdlib.h>

#ifdef __SANITIZE_ADDRESS__
enum { PROBLEMS = 250 };
#else
enum { PROBLEMS = 2000 };
#endif

/* The document's numbers, read here once more and by other means than the optimiser's. */
struct given {
    int kerf, trim, clamp, usable, percent, places;
    size_t bar_count, piece_count;
    int length[16], quantity[16], value[16], squared[16];
    int piece[16], demand[16];
    int rate; /* the bar whose value per length rates remainders */
};

static int tenths(const json_t *object, const char *field) {
    return (int)lround(json_number_value(json_object_get(object, field)) * 10);
}

static void read_given(const json_t *problem, struct given *given) {
    const json_t *bars = json_object_get(problem, "bars"), *pieces = json_object_get(problem, "pieces");
    const json_t *remainder = json_object_get(problem, "remainder");
    *given = (struct given){.kerf = tenths(problem, "kerf"),
                            .trim = tenths(problem, "lead_trim"),
                            .clamp = tenths(problem, "tail_clamp"),
                            .places = -1,
                            .bar_count = json_array_size(bars),
                            .piece_count = json_array_size(pieces)};
    bool unlimited = false;
    for (size_t i = 0; i < given->bar_count; i++) {
        const json_t *bar = json_array_get(bars, i), *quantity = json_object_get(bar, "quantity");
        given->length[i] = tenths(bar, "length");
        given->quantity[i] = json_is_integer(quantity) ? (int)json_integer_value(quantity) : -1;
        given->value[i] = json_object_get(bar, "value") ? tenths(bar, "value") : given->length[i];
        given->squared[i] = json_is_true(json_object_get(bar, "squared"));
        unlimited = unlimited || given->quantity[i] < 0;
    }
    for (size_t i = 0; i < given->piece_count; i++) {
        const json_t *piece = json_array_get(pieces, i);
        given->piece[i] = tenths(piece, "length");
        given->demand[i] = (int)json_integer_value(json_object_get(piece, "quantity"));
    }
    if (remainder != NULL) {
        given->usable = tenths(remainder, "usable");
        given->percent = (int)json_integer_value(json_object_get(remainder, "value_percent"));
        const json_t *places = json_object_get(remainder, "places");
        given->places = json_is_integer(places) ? (int)json_integer_value(places) : -1;
    }
    given->rate = -1;
    for (size_t i = 0; i < given->bar_count; i++) {
        if (unlimited && given->quantity[i] >= 0)
            continue;
        if (given->rate < 0) {
            given->rate = (int)i;
            continue;
        }
        int best = given->rate;
        double now = (double)given->value[i] / given->length[i],
               was = (double)given->value[best] / given->length[best];
        bool longer = given->length[i] > given->length[best] ||
                      (given->length[i] == given->length[best] && given->value[i] < given->value[best]);
        if (unlimited ? now < was : longer)
            given->rate = (int)i;
    }
}

struct columns {
    glp_prob *program;
    const struct given *given;
    int counts[16], bar;
    int place_row;
};

static void add_column(struct columns *columns, double cost, bool returns) {
    const struct given *given = columns->given;
    int rows[20], used = 0, column = glp_add_cols(columns->program, 1);
    double values[20];
    for (size_t i = 0; i < given->piece_count; i++)
        if (columns->counts[i] > 0) {
            rows[++used] = (int)i + 1;
            values[used] = columns->counts[i];
        }
    if (given->quantity[columns->bar] >= 0) {
        rows[++used] = (int)given->piece_count + 1 + columns->bar;
        values[used] = 1;
    }
    if (returns && given->places >= 0) {
        rows[++used] = columns->place_row;
        values[used] = 1;
    }
    glp_set_mat_col(columns->program, column, used, rows, values);
    glp_set_col_bnds(columns->program, column, GLP_LO, 0, 0);
    glp_set_col_kind(columns->program, column, GLP_IV);
    glp_set_obj_coef(columns->program, column, cost);
}

static void all_patterns(struct columns *columns, size_t from, int sum, int number) {
    const struct given *given = columns->given;
    int bar = columns->bar, start = given->length[bar] - (given->squared[bar] ? 0 : given->trim);
    if (number > 0) {
        int rest = start - sum - number * given->kerf;
        add_column(columns, given->value[bar], false);
        if (given->usable > 0 && rest >= given->usable) {
            long double worth = (long double)given->percent * rest * given->value[given->rate] /
                                (100.0L * given->length[given->rate]);
            add_column(columns, given->value[bar] - (double)floorl(worth + 1e-12L), true);
        }
    }
    for (size_t i = from; i < given->piece_count; i++) {
        if (columns->counts[i] == given->demand[i])
            continue;
        int left = start - sum - given->piece[i] - number * given->kerf;
        if (given->clamp > 0 ? left < given->kerf + given->clamp : left < 0)
            continue;
        columns->counts[i]++;
        all_patterns(columns, i, sum + given->piece[i], number + 1);
        columns->counts[i]--;
    }
}

/* The least cost in tenths; a negative number of pieces when not all can be cut. */
static bool reference(const struct given *given, double *cost) {
    struct columns columns = {.program = glp_create_prob(), .given = given};
    int rows = (int)given->piece_count + (int)given->bar_count + 1;
    columns.place_row = rows;
    glp_add_rows(columns.program, rows);
    for (size_t i = 0; i < given->piece_count; i++)
        glp_set_row_bnds(columns.program, (int)i + 1, GLP_FX, given->demand[i], given->demand[i]);
    for (size_t i = 0; i < given->bar_count; i++)
        glp_set_row_bnds(columns.program, (int)(given->piece_count + i) + 1,
                         given->quantity[i] >= 0 ? GLP_UP : GLP_FR, 0, given->quantity[i]);
    glp_set_row_bnds(columns.program, rows, given->places >= 0 ? GLP_UP : GLP_FR, 0, given->places);
    for (columns.bar = 0; columns.bar < (int)given->bar_count; columns.bar++)
        all_patterns(&columns, 0, 0, 0);
    glp_iocp options;
    glp_init_iocp(&options);
    options.presolve = GLP_ON;
    options.msg_lev = GLP_MSG_OFF;
    options.tm_lim = 20000;
    bool found = false;
    if (glp_get_num_cols(columns.program) > 0) {
        int failed = glp_intopt(columns.program, &options);
        found = failed == 0 && glp_mip_status(columns.program) == GLP_OPT;
        *cost = found ? glp_mip_obj_val(columns.program) : -1;
    }
    glp_delete_prob(columns.program);
    return found;
}

Test(glpk, random_problems_with_every_feature_cost_the_same) {
    int compared = 0;
    glp_term_out(GLP_OFF);
    for (uint64_t seed = 5000; seed < 5000 + PROBLEMS; seed++) {
        struct given given;
        double cost = 0;
        char what[32];
        json_t *problem = random_problem(seed, 6);
        read_given(problem, &given);
        snprintf(what, sizeof what, "seed %lu", (unsigned long)seed);
        json_t *plan = solved(problem, 0, what);
        bool all = json_array_size(json_object_get(plan, "unmet")) == 0;
        bool known = reference(&given, &cost);
        cr_assert(all || !known, "%s: pieces were left out that GLPK finds room for", what);
        if (all) {
            cr_assert(known, "%s: GLPK finds a plan too", what);
            cr_assert_float_eq(number(plan, "cost") * 10, cost, 1e-3, "%s: %.1f, GLPK %.1f", what,
                               number(plan, "cost") * 10, cost);
            cr_assert(json_is_true(json_object_get(plan, "proven")), "%s: proven", what);
            compared++;
        }
        json_decref(plan);
        json_decref(problem);
    }
    cr_assert_gt(compared, PROBLEMS / 2, "most problems can be cut whole: %d", compared);
    glp_free_env();
}
