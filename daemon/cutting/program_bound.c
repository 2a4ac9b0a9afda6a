/* Bounds of the integer program in integers: any rounded prices give one. SPDX-License-Identifier: Apache-2.0
 */
#include "cutting/program.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int64_t whole(const struct program *program, double price) {
    return (int64_t)llround(price * program->money * program->scale);
}

static int32_t cut_share(const struct program *program, const struct cut *cut, size_t column) {
    int32_t sum = 0;
    for (int i = 0; i < 3; i++)
        sum += program_holds(program, column, cut->type[i]);
    return sum / 2;
}

/* scale * cost of one use of the column, less the prices of its rows. */
static void reduce_columns(struct program *program, const int64_t *prices) {
    for (size_t i = 0; i < program->columns; i++) {
        const struct pattern *pattern = program_pattern(program, i);
        if (program->base[i] == 0)
            continue;
        int64_t reduced =
            (int64_t)program->scale * pattern->cost - prices[program->stock_row + pattern->stock];
        for (size_t p = 0; p < pattern->parts; p++) {
            const struct layout_part *part = &program->engine->pool.parts[pattern->first + p];
            reduced -= prices[part->type] * part->count;
        }
        if (pattern->returns && program->place_row < program->cut_row)
            reduced -= prices[program->place_row];
        program->reduced[i] = reduced;
    }
    for (size_t c = 0; c < program->cut_count; c++) {
        int64_t price = prices[program->cut_row + c];
        for (size_t i = 0; price != 0 && i < program->columns; i++)
            if (program->base[i] > 0)
                program->reduced[i] -= price * cut_share(program, &program->cuts[c], i);
    }
}

/* Prices as integers of the sign that their rows allow, and what the rows give at these prices. */
static __int128 round_prices(const struct program *program, int64_t *prices) {
    const struct model *model = program->engine->model;
    const double *given = lp_prices(program->lp);
    __int128 sum = 0;
    for (size_t i = 0; i < program->types; i++) {
        prices[i] = whole(program, given[i]);
        sum += (__int128)prices[i] * model->types[i].demand;
    }
    for (size_t i = 0; i < program->stocks; i++) {
        int64_t price = whole(program, given[program->stock_row + i]);
        if (price < 0 && program->stock_most[i] == INT64_MAX)
            price = 0;
        prices[program->stock_row + i] = price;
        sum += (__int128)price * (price > 0   ? program->stock_least[i]
                                  : price < 0 ? program->stock_most[i]
                                              : 0);
    }
    for (size_t row = program->place_row; row < program->cut_row + program->cut_count; row++) {
        int64_t price = whole(program, given[row]);
        prices[row] = price < 0 ? price : 0;
        int64_t most = row < program->cut_row ? model->problem->remainder.places
                                              : program->cuts[row - program->cut_row].most;
        sum += (__int128)prices[row] * most;
    }
    return sum;
}

int64_t program_bound(struct program *program) {
    int64_t *prices = malloc((program->cut_row + program->cut_count + 1) * sizeof *prices);
    if (prices == NULL) {
        program->engine->no_memory = true;
        return INT64_MIN;
    }
    __int128 sum = round_prices(program, prices);
    reduce_columns(program, prices);
    free(prices);
    for (size_t i = 0; i < program->columns; i++) {
        int64_t reduced = program->reduced[i];
        if (program->base[i] > 0)
            sum += (__int128)reduced * (reduced < 0 ? program->most[i] : program->least[i]);
    }
    program->sum = sum;
    __int128 scale = (__int128)program->scale, quotient = sum / scale;
    if (quotient * scale < sum)
        quotient++;
    if (quotient > INT64_MAX / 4 || quotient < INT64_MIN / 4)
        return quotient > 0 ? INT64_MAX / 4 : INT64_MIN;
    int64_t bound = (int64_t)quotient, step = program->engine->step;
    return bound <= 0 ? -(-bound / step) * step : (bound + step - 1) / step * step;
}

void program_remember(struct program *program) {
    memcpy(program->root_reduced, program->reduced, program->columns * sizeof *program->reduced);
    program->root_sum = program->sum;
    program->remembered = true;
}

void program_rule_out(struct program *program, const int64_t *reduced, __int128 sum) {
    const struct engine *engine = program->engine;
    __int128 most = (__int128)(engine->target - engine->step) * (int64_t)program->scale - sum;
    for (size_t i = 0; i < program->columns; i++)
        if (program->base[i] > 0 && reduced[i] > most)
            program->base[i] = 0;
}
