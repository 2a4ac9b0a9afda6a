/* The parts list: rules and fixings to quantities. SPDX-License-Identifier: Apache-2.0 */
#include "common/text.h"
#include "takeoff/work.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

bool condition_holds(const struct condition *when, const struct takeoff *takeoff) {
    const struct survey *survey = &takeoff->survey;
    return (when->control >> survey->control & 1) && (when->position >> survey->position & 1) &&
           (when->place >> survey->place & 1) && (when->draw >> survey->draw & 1) &&
           (when->substrate >> takeoff->into & 1) && (when->finish >> takeoff->finish & 1) &&
           takeoff->overall >= when->from && takeoff->overall < when->below;
}

/* Adds to the line of that part; a part that is needed for two reasons is one line with the reasons joined.
 */
static void add_part(struct takeoff *takeoff, size_t part, int64_t quantity, const char *why) {
    struct takeoff_part *line = NULL;
    for (size_t i = 0; i < takeoff->part_count && line == NULL; i++)
        if (takeoff->parts[i].part == part)
            line = &takeoff->parts[i];
    if (quantity == 0)
        return;
    if (line == NULL && takeoff->part_count == TAKEOFF_PARTS) {
        advise(takeoff, "too-many-parts", SEVERITY_REFUSAL, "parts",
               "Let the rules of this system name fewer parts.",
               "The rules of this system give more than %d different parts.", TAKEOFF_PARTS);
        return;
    }
    if (line == NULL) {
        line = &takeoff->parts[takeoff->part_count++];
        line->part = part;
    }
    line->quantity += quantity;
    size_t used = strlen(line->why);
    if (used > 0 && used + 2 < sizeof line->why) {
        memcpy(line->why + used, ", ", 3);
        used += 2;
    }
    text_copy(line->why + used, sizeof line->why - used, why);
    const struct part *row = &takeoff->catalogue->parts[part];
    for (size_t i = 0; i < row->need_count; i++) {
        char reason[96];
        snprintf(reason, sizeof reason, "%" PRId64 " with each %s", row->needs[i].quantity, row->code);
        add_part(takeoff, row->needs[i].part, quantity * row->needs[i].quantity, reason);
    }
}

/* One glider for each begun pitch of the run, the same number each side where the system wants it, and
 * spares. */
static int64_t glider_count(const struct takeoff *takeoff) {
    const struct system_gliders *gliders = &takeoff->system->gliders;
    int64_t count = divide_up(takeoff->run, gliders->pitch);
    if (gliders->even && takeoff->survey.draw == DRAW_PAIR)
        count += count % 2;
    return count + gliders->spare;
}

static int64_t count_of(const struct takeoff *takeoff, enum rule_per per) {
    size_t joins = takeoff->split_count > 0 ? takeoff->splits[0].piece_count - 1 : 0;
    switch (per) {
    case PER_PIECE:
        return (int64_t)joins + 1;
    case PER_END:
        return 2;
    case PER_JOIN:
        return (int64_t)joins;
    case PER_MARK:
        return (int64_t)takeoff->mark_count;
    case PER_BRACKET:
        return (int64_t)(takeoff->mark_count - joins);
    case PER_METRE:
        return divide_up(takeoff->overall, 1000 * ELL_MM);
    case PER_CURTAIN:
        return takeoff->survey.draw == DRAW_PAIR ? 2 : 1;
    case PER_BEND:
        return (int64_t)takeoff->bend_count;
    case PER_GLIDER:
        return glider_count(takeoff);
    case PER_CORD:
        return takeoff->cord_length;
    case PER_TRACK:
    case PER_COUNT:
        break;
    }
    return 1;
}

static void apply_rule(struct takeoff *takeoff, const struct rule *rule) {
    int64_t count = count_of(takeoff, rule->per), quantity = count * rule->quantity;
    const struct part *part = &takeoff->catalogue->parts[rule->part];
    char why[96];
    /* By length and by metre the metres need not be whole. */
    if (rule->per == PER_METRE && part->unit == UNIT_LENGTH)
        quantity = divide_up(takeoff->overall * rule->quantity, 1000 * ELL_MM);
    if (rule->per == PER_CORD)
        snprintf(why, sizeof why, "cord for the track and its drop");
    else if (rule->per == PER_GLIDER)
        snprintf(why, sizeof why, "1 for each pitch, %" PRId64 " spare", takeoff->system->gliders.spare);
    else if (part->unit == UNIT_LENGTH)
        snprintf(why, sizeof why, "by length for each %s", per_words[rule->per]);
    else
        snprintf(why, sizeof why, "%" PRId64 " for each %s", rule->quantity, per_words[rule->per]);
    add_part(takeoff, rule->part, quantity, why);
}

static void apply_fixing(struct takeoff *takeoff) {
    const struct fixing *fixing = takeoff->fixing;
    if (fixing == NULL)
        return;
    int64_t count = (int64_t)takeoff->mark_count * fixing->screws;
    char why[96];
    snprintf(why, sizeof why, "%" PRId64 " for each bracket", fixing->screws);
    add_part(takeoff, fixing->screw, count, why);
    if (fixing->plug != SIZE_MAX)
        add_part(takeoff, fixing->plug, count, why);
}

static void measure_cord(struct takeoff *takeoff) {
    const struct system_cord *cord = &takeoff->system->cord;
    const struct survey *survey = &takeoff->survey;
    if (!takeoff->system->corded)
        return;
    if (survey->cord_drop != SURVEY_UNKNOWN)
        takeoff->cord_drop = survey->cord_drop;
    else if (takeoff->height != SURVEY_UNKNOWN)
        takeoff->cord_drop = length_most(0, takeoff->height - cord->pulley_height);
    else
        takeoff->cord_drop = survey->height;
    takeoff->cord_length =
        cord->per_track * takeoff->overall + cord->per_drop * takeoff->cord_drop + cord->extra;
}

void step_parts(struct takeoff *takeoff) {
    measure_cord(takeoff);
    for (size_t i = 0; i < takeoff->system->rule_count; i++)
        if (condition_holds(&takeoff->system->rules[i].when, takeoff))
            apply_rule(takeoff, &takeoff->system->rules[i]);
    apply_fixing(takeoff);
}
