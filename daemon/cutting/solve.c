/* From problem to plan. SPDX-License-Identifier: Apache-2.0 */
#include "cutting/cutting.h"

#include "cutting/assemble.h"
#include "cutting/batches.h"
#include "cutting/change.h"
#include "cutting/join.h"
#include "cutting/match.h"
#include "cutting/sequence.h"
#include "cutting/shortage.h"
#include "cutting/tidy.h"

#include <stdlib.h>
#include <string.h>

/* Of the time, where batches have to match afterwards; and for the choice of joins, before anything else. */
#define FREE_SHARE 0.4
#define JOIN_SHARE 0.2

/* What could be cut at all were there stock enough: lines that no bar or no saw can take are 0. */
static void wanted_at_all(const struct cutting_problem *problem, int64_t *wanted) {
    ell_length longest = model_longest_piece(problem);
    for (size_t i = 0; i < problem->piece_count; i++) {
        const struct cutting_piece *piece = &problem->pieces[i];
        bool possible = piece->length <= longest && piece->length >= problem->saw.shortest_piece;
        wanted[i] = possible ? piece->quantity : 0;
    }
}

/* Moves the line's proof to the piece left out, where there is one. */
static void take_proof(struct shortage *shortage, struct cutting_unmet *left) {
    for (size_t i = 0; i < shortage->count; i++) {
        struct cutting_unmet *line = &shortage->lines[i];
        if (line->piece != left->piece)
            continue;
        left->proof = line->proof;
        left->follows = line->follows;
        left->certificate = line->certificate;
        line->certificate = (struct cutting_certificate){0};
    }
}

static bool note_unmet(const struct cutting_problem *problem, const int64_t *wanted,
                       struct shortage *shortage, struct cutting_plan *plan) {
    plan->unmet = calloc(problem->piece_count + 1, sizeof *plan->unmet);
    if (plan->unmet == NULL)
        return false;
    ell_length longest = model_longest_piece(problem);
    for (size_t i = 0; i < problem->piece_count; i++) {
        const struct cutting_piece *piece = &problem->pieces[i];
        if (wanted[i] == piece->quantity)
            continue;
        struct cutting_unmet *left = &plan->unmet[plan->unmet_count++];
        *left = (struct cutting_unmet){.piece = i,
                                       .quantity = piece->quantity - wanted[i],
                                       .why = piece->length < problem->saw.shortest_piece ? CUTTING_TOO_SHORT
                                              : piece->length > longest                   ? CUTTING_TOO_LONG
                                                                                          : CUTTING_NO_STOCK,
                                       .follows = SIZE_MAX};
        if (left->why == CUTTING_NO_STOCK)
            take_proof(shortage, left);
    }
    return true;
}

/* Of each line, what the plan's runs cut. */
static void count_cut(const struct cutting_problem *problem, const struct cutting_plan *plan,
                      int64_t *wanted) {
    memset(wanted, 0, problem->piece_count * sizeof *wanted);
    for (size_t r = 0; r < plan->run_count; r++)
        for (size_t p = 0; p < plan->runs[r].piece_count; p++)
            wanted[plan->pieces[plan->runs[r].first + p]] += plan->runs[r].count;
}

/* The search placed less than the heuristics had thought, or was called off: what it placed is the plan, and nothing is
 * known of a better one. */
static void settle_for_less(const struct cutting_problem *problem, int64_t *wanted, struct shortage *shortage,
                            struct cutting_plan *plan) {
    count_cut(problem, plan, wanted);
    shortage_free(shortage);
    free(plan->certificate.lengths);
    free(plan->certificate.prices);
    plan->certificate = (struct cutting_certificate){0};
    plan->proof = CUTTING_PROOF_NONE;
    plan->least = (struct cutting_effort){0};
    plan->bound = plan->cost < 0 ? plan->cost : 0;
}

/* Takes the bound found, with its certificate. */
static void take_bound(struct finding *finding, struct cutting_plan *plan) {
    plan->bound = finding->bound;
    plan->proof = finding->proof;
    free(plan->certificate.lengths);
    free(plan->certificate.prices);
    plan->certificate = finding->certificate;
    finding->certificate = (struct cutting_certificate){0};
}

/* Replaces the plan's bars by the layout found. */
static bool take_layout(const struct model *model, struct finding *finding, struct watch *watch,
                        struct cutting_plan *plan, struct fault *fault) {
    free(plan->runs);
    free(plan->pieces);
    plan->runs = NULL;
    plan->pieces = NULL;
    plan->run_count = plan->piece_count = 0;
    return (tidy_layout(model, watch, &finding->layout, plan) || fault_memory(fault)) &&
           assemble_plan(model, &finding->layout, plan, fault);
}

/* The best plan for what is wanted, whatever the batches. */
static bool solve_wanted(const struct cutting_problem *problem, const int64_t *wanted, struct watch *watch,
                         struct cutting_plan *plan, int64_t *unmet, struct fault *fault) {
    struct model model;
    struct finding finding;
    if (!model_make(problem, &(struct model_wish){.demand = wanted}, &model, fault))
        return false;
    bool fine = search_best(&model, watch, &finding, fault);
    if (fine) {
        *unmet = finding.layout.unmet;
        take_bound(&finding, plan);
        fine = take_layout(&model, &finding, watch, plan, fault);
        finding_free(&finding);
    }
    model_free(&model);
    return fine;
}

/* The whole demand first; when not all of it can be placed, the part that is chosen. Batches do not matter yet. */
static bool solve_free(const struct cutting_problem *problem, int64_t *wanted, struct watch *watch,
                       struct shortage *shortage, struct cutting_plan *plan, struct fault *fault) {
    int64_t unmet;
    if (!solve_wanted(problem, wanted, watch, plan, &unmet, fault))
        return false;
    if (unmet > 0 && !watch->ended &&
        !(shortage_choose(problem, NULL, NULL, wanted, watch, shortage, fault) &&
          solve_wanted(problem, wanted, watch, plan, &unmet, fault)))
        return false;
    if (unmet > 0)
        settle_for_less(problem, wanted, shortage, plan);
    return true;
}

/* Where the plan mixes batches within a group, it is made again over the choices of batches. The bound of the free problem
 * can only be lower. *unmet stays where the plan is left as it is. */
static bool match_wanted(const struct cutting_problem *problem, struct batches *batches,
                         const int64_t *wanted, struct watch *watch, struct cutting_plan *plan,
                         int64_t *unmet, struct fault *fault) {
    struct finding finding;
    struct model model;
    if (batches_kept(batches, plan))
        return true;
    if (!match_best(problem, wanted, batches, plan, plan->bound, watch, &finding, fault))
        return false;
    struct model_wish wish = {wanted, batches->of_piece, batches->of_bar, false};
    *unmet = finding.layout.unmet;
    if (finding.proof != CUTTING_PROOF_NONE)
        take_bound(&finding, plan);
    bool fine = model_make(problem, &wish, &model, fault);
    if (fine) {
        fine = take_layout(&model, &finding, watch, plan, fault);
        model_free(&model);
    }
    finding_free(&finding);
    return fine;
}

/* Batches let fewer pieces be cut than stock alone: what is cut is chosen anew, from all that could be. */
static bool match_fewer(const struct cutting_problem *problem, const struct batches *first, int64_t *wanted,
                        struct watch *watch, struct shortage *shortage, struct cutting_plan *plan,
                        struct fault *fault) {
    struct batches batches;
    int64_t unmet;
    shortage_free(shortage);
    wanted_at_all(problem, wanted);
    if (!shortage_choose(problem, first->of_piece, first->of_bar, wanted, watch, shortage, fault) ||
        !solve_wanted(problem, wanted, watch, plan, &unmet, fault))
        return false;
    bool fine = batches_make(problem, wanted, &batches) || fault_memory(fault);
    fine = fine && match_wanted(problem, &batches, wanted, watch, plan, &unmet, fault);
    batches_free(&batches);
    if (fine && unmet > 0)
        settle_for_less(problem, wanted, shortage, plan);
    return fine;
}

static bool solve_matched(const struct cutting_problem *problem, struct batches *batches, int64_t *wanted,
                          struct watch *watch, struct shortage *shortage, struct cutting_plan *plan,
                          struct fault *fault) {
    int64_t unmet = 0;
    if (!match_wanted(problem, batches, wanted, watch, plan, &unmet, fault))
        return false;
    if (unmet > 0 && watch->ended)
        settle_for_less(problem, wanted, shortage, plan);
    return unmet == 0 || watch->ended || match_fewer(problem, batches, wanted, watch, shortage, plan, fault);
}

static bool all_explained(const struct cutting_plan *plan, bool *short_of_stock) {
    bool all = true;
    for (size_t i = 0; i < plan->unmet_count; i++) {
        bool no_stock = plan->unmet[i].why == CUTTING_NO_STOCK;
        *short_of_stock = *short_of_stock || no_stock;
        all = all && !(no_stock && plan->unmet[i].proof == CUTTING_PROOF_NONE);
    }
    return all;
}

static change_solve solve_plain;

static bool conclude(const struct cutting_problem *problem, const int64_t *wanted, struct watch *watch,
                     struct shortage *shortage, struct cutting_plan *plan, struct fault *fault) {
    bool short_of_stock = false;
    if (!note_unmet(problem, wanted, shortage, plan))
        return fault_memory(fault);
    bool explained = all_explained(plan, &short_of_stock);
    if (short_of_stock && !shortage_buy(problem, watch, plan, fault))
        return false;
    if (problem->previous_count > 0 && !change_least(problem, solve_plain, watch, plan, fault))
        return false;
    if (!sequence_plan(problem, watch, plan))
        return fault_memory(fault);
    plan->proven = plan->cost == plan->bound && explained;
    plan->stopped_by = watch_reason(watch);
    plan->stopped = plan->stopped_by != CUTTING_STOP_NONE;
    return true;
}

/* With matches to keep, the free problem gets only part of the time. */
static bool solve_all(const struct cutting_problem *problem, int64_t *wanted, struct watch *watch,
                      struct cutting_plan *plan, struct fault *fault) {
    struct batches batches;
    struct shortage shortage = {0};
    wanted_at_all(problem, wanted);
    bool fine = batches_make(problem, wanted, &batches) || fault_memory(fault);
    if (fine) {
        bool matching = batches.group_count > 0;
        watch_share(watch, matching ? FREE_SHARE : 1);
        fine = solve_free(problem, wanted, watch, &shortage, plan, fault);
        watch_share(watch, 1);
        fine = fine && (!matching || solve_matched(problem, &batches, wanted, watch, &shortage, plan, fault));
    }
    batches_free(&batches);
    fine = fine && conclude(problem, wanted, watch, &shortage, plan, fault);
    shortage_free(&shortage);
    return fine;
}

static bool solve_plain(const struct cutting_problem *problem, struct watch *watch, struct cutting_plan *plan,
                        struct fault *fault) {
    int64_t *wanted = calloc(problem->piece_count + 1, sizeof *wanted);
    if (wanted == NULL)
        return fault_memory(fault);
    bool fine = solve_all(problem, wanted, watch, plan, fault);
    free(wanted);
    return fine;
}

static bool left_out(const struct cutting_plan *plan) {
    bool any = false;
    for (size_t i = 0; i < plan->unmet_count; i++)
        any = any || plan->unmet[i].why == CUTTING_NO_STOCK;
    return any;
}

/* The bound of a plan with joins is the one that holds for every choice; where pieces are left out there is none. */
static void take_answer(const struct cutting_problem *problem, struct join_answer *answer,
                        struct cutting_plan *plan) {
    bool known = answer->bound != INT64_MIN && plan->unmet_count == 0;
    bool every = answer->every != INT64_MIN && answer->every > answer->bound;
    free(plan->certificate.lengths);
    free(plan->certificate.prices);
    plan->certificate = known && !every ? answer->certificate : (struct cutting_certificate){0};
    if (known && !every)
        answer->certificate = (struct cutting_certificate){0};
    plan->bound = every ? answer->every : known ? answer->bound : plan->cost < 0 ? plan->cost : 0;
    plan->proof = every ? CUTTING_PROOF_SEARCH : known ? CUTTING_PROOF_PRICES : CUTTING_PROOF_NONE;
    plan->proven = (every || known) && plan->cost == plan->bound && !left_out(plan);
    /* Chosen otherwise, the joins might leave out others. */
    for (size_t i = 0; i < plan->unmet_count; i++)
        plan->unmet[i].proof = CUTTING_PROOF_NONE;
    plan->joins = answer->chosen;
    plan->join_count = problem->join_count;
    answer->chosen = NULL;
}

static bool solve_joined(const struct cutting_problem *problem, struct watch *watch,
                         struct cutting_plan *plan, struct fault *fault) {
    struct cutting_problem fixed;
    struct join_answer answer;
    watch_share(watch, JOIN_SHARE);
    bool chosen = join_choose(problem, watch, &fixed, &answer, fault);
    watch_share(watch, 1);
    if (!chosen)
        return false;
    fixed.previous = problem->previous;
    fixed.previous_pieces = problem->previous_pieces;
    fixed.previous_count = problem->previous_count;
    bool fine =
        solve_plain(&fixed, watch, plan, fault) &&
        (plan->unmet_count > 0 || join_every(problem, &fixed, solve_plain, watch, &answer, plan, fault));
    fixed.previous = NULL;
    fixed.previous_pieces = NULL;
    if (fine)
        take_answer(problem, &answer, plan);
    join_answer_free(&answer);
    cutting_problem_free(&fixed);
    return fine;
}

bool cutting_solve(const struct cutting_problem *problem, const struct cutting_options *options,
                   struct cutting_plan *plan, struct fault *fault) {
    struct watch watch;
    *plan = (struct cutting_plan){0};
    if (!cutting_problem_check(problem, fault))
        return false;
    watch_start(&watch, options);
    bool fine = problem->join_count > 0 ? solve_joined(problem, &watch, plan, fault)
                                        : solve_plain(problem, &watch, plan, fault);
    plan->ms = watch_seconds(&watch) * 1000;
    plan->work = watch.work;
    plan->late = watch.late;
    if (!fine)
        cutting_plan_free(plan);
    return fine;
}
