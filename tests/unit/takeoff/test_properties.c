/* What must hold for every window, on 100 000 random ones (fewer under sanitizers).
 * SPDX-License-Identifier: Apache-2.0 */
#include "demo.h"
#include "surveys.h"
#include "takeoff/takeoff.h"

#include <criterion/criterion.h>
#include <math.h>

#ifdef __SANITIZE_ADDRESS__
enum { WINDOWS = 3000 };
#else
enum { WINDOWS = 100000 };
#endif

static const char *const known_faults[] = {"contradiction", "check-measure", NULL};

/* NULL when the window is not taken, for one of the reasons that there may be. */
static struct takeoff *take(const struct survey *survey, const struct catalogue *catalogue, int window) {
    struct fault fault = {.code = ""};
    struct takeoff *takeoff = NULL;
    if (takeoff_compute(survey, catalogue, &takeoff, &fault))
        return takeoff;
    for (size_t i = 0; known_faults[i] != NULL; i++)
        if (strcmp(known_faults[i], fault.code) == 0)
            return NULL;
    cr_assert_fail("window %d: %s at %s: %s", window, fault.code, fault.where, fault.message);
    return NULL;
}

static bool within_bend(const struct takeoff *takeoff, ell_length from, ell_length to) {
    for (size_t i = 0; i < takeoff->bend_count; i++)
        if (takeoff->bends[i].start >= from && takeoff->bends[i].start <= to)
            return true;
    return false;
}

static void check_marks(const struct takeoff *takeoff, int window) {
    const struct system_brackets *limits = &takeoff->system->brackets;
    const struct takeoff_mark *marks = takeoff->marks;
    size_t count = takeoff->mark_count;
    cr_assert_geq(count, 2, "window %d: %zu marks", window, count);
    ell_length first = marks[0].from_left, last = takeoff->overall - marks[count - 1].from_left;
    cr_assert(first >= limits->end_least && first <= limits->end_most, "window %d: first mark %ld", window,
              (long)first);
    cr_assert(last >= limits->end_least && last <= limits->end_most, "window %d: last mark %ld", window,
              (long)last);
    for (size_t i = 0; i < count; i++) {
        cr_assert_eq(marks[i].from_left - takeoff->midpoint, marks[i].from_midpoint, "window %d", window);
        if (takeoff->bend_count == 0)
            cr_assert_eq(marks[i].from_midpoint % limits->mark_step, 0, "window %d: mark %zu", window, i);
        if (i == 0)
            continue;
        ell_length apart = marks[i].from_left - marks[i - 1].from_left;
        bool bend = within_bend(takeoff, marks[i - 1].from_left, marks[i].from_left);
        cr_assert(apart <= limits->spacing_most && (bend || apart >= limits->spacing_least),
                  "window %d: marks %zu and %zu are %ld apart", window, i, i + 1, (long)apart);
    }
}

static bool is_mark(const struct takeoff *takeoff, ell_length place) {
    for (size_t i = 1; i + 1 < takeoff->mark_count; i++)
        if (takeoff->marks[i].from_left == place)
            return true;
    return false;
}

static void check_splits(const struct takeoff *takeoff, int window) {
    const struct track_system *system = takeoff->system;
    ell_length longest = system->longest_piece;
    if (takeoff->survey.carrier_longest != SURVEY_UNKNOWN && takeoff->survey.carrier_longest < longest)
        longest = takeoff->survey.carrier_longest;
    cr_assert_gt(takeoff->split_count, 0, "window %d", window);
    cr_assert(takeoff->ways >= (int64_t)takeoff->split_count, "window %d: more listed than there are",
              window);
    for (size_t i = 0; i < takeoff->split_count; i++) {
        const struct takeoff_split *split = &takeoff->splits[i];
        ell_length sum = 0;
        /* Then the parts are those of the first as well: rules count pieces and joins, never their lengths. */
        cr_assert_eq(split->piece_count, takeoff->splits[0].piece_count, "window %d: split %zu", window, i);
        for (size_t j = 0; j < split->piece_count; j++) {
            sum += split->pieces[j];
            cr_assert(split->pieces[j] <= longest && split->pieces[j] >= system->shortest_piece,
                      "window %d: a piece of %ld", window, (long)split->pieces[j]);
        }
        cr_assert_eq(sum, takeoff->cut_total, "window %d: pieces make %ld of %ld", window, (long)sum,
                     (long)takeoff->cut_total);
        for (size_t j = 0; j + 1 < split->piece_count; j++) {
            ell_length place = split->joins[j];
            cr_assert(is_mark(takeoff, place), "window %d: a join at %ld, on no bracket", window,
                      (long)place);
            cr_assert(takeoff->survey.draw != DRAW_PAIR ||
                          llabs(place - takeoff->overall / 2) >= system->joins.meeting_least,
                      "window %d: a join where the curtains meet", window);
        }
    }
}

static int64_t count_role(const struct takeoff *takeoff, enum part_role role) {
    int64_t sum = 0;
    for (size_t i = 0; i < takeoff->part_count; i++)
        if (takeoff->catalogue->parts[takeoff->parts[i].part].role == role)
            sum += takeoff->parts[i].quantity;
    return sum;
}

static bool advised(const struct takeoff *takeoff, const char *code) {
    for (size_t i = 0; i < takeoff->advice_count; i++)
        if (strcmp(takeoff->advice[i].code, code) == 0)
            return true;
    return false;
}

static void check_kit(const struct takeoff *takeoff, int window) {
    bool corded = takeoff->system->corded, face = takeoff->survey.position == POSITION_FACE;
    int64_t marks = (int64_t)takeoff->mark_count, joins = (int64_t)takeoff->splits[0].piece_count - 1;
    cr_assert_eq(count_role(takeoff, ROLE_TENSION_PULLEY), corded, "window %d: tension pulley", window);
    cr_assert_eq(count_role(takeoff, ROLE_TENSION_PULLEY_SCREW), corded ? 2 : 0, "window %d: its screws",
                 window);
    cr_assert_eq(advised(takeoff, "cord-loop"), corded, "window %d: cord caution", window);
    cr_assert_eq(count_role(takeoff, ROLE_CORD), takeoff->cord_length, "window %d: cord", window);
    cr_assert_eq(count_role(takeoff, ROLE_BASE_BRACKET), face ? marks : 0, "window %d: base brackets",
                 window);
    cr_assert_eq(count_role(takeoff, ROLE_MOUNTING_BRACKET), marks - joins, "window %d: mounting", window);
    cr_assert_eq(count_role(takeoff, ROLE_JOINING_BRACKET), joins, "window %d: joining", window);
    cr_assert_eq(count_role(takeoff, ROLE_SCREW), marks * takeoff->fixing->screws, "window %d: screws",
                 window);
    cr_assert_eq(count_role(takeoff, ROLE_OVERLAP_ARM), takeoff->survey.draw == DRAW_PAIR, "window %d: arm",
                 window);
}

static void check_hanging(const struct takeoff *takeoff, int window) {
    const struct takeoff_hanging *hanging = &takeoff->hanging;
    const double most = 1 + 1e-6;
    cr_assert(hanging->bracket_use <= most && hanging->screw_use <= most && hanging->track_use <= most &&
                  hanging->bending_use <= most && hanging->sag_use <= most,
              "window %d: released though overloaded", window);
    cr_assert_gt(hanging->reaction, 0, "window %d", window);
}

Test(properties, every_take_off_keeps_the_rules) {
    struct catalogue *catalogue = demo_catalogue();
    struct dice dice = {1};
    int taken = 0, refused = 0;
    for (int window = 0; window < WINDOWS; window++) {
        struct survey survey;
        roll_survey(&dice, &survey);
        struct takeoff *takeoff = take(&survey, catalogue, window);
        if (takeoff == NULL)
            continue;
        taken++;
        refused += takeoff->refused;
        if (!takeoff->refused) {
            check_marks(takeoff, window);
            check_splits(takeoff, window);
            check_kit(takeoff, window);
            check_hanging(takeoff, window);
        }
        takeoff_free(takeoff);
    }
    cr_assert_gt(taken, WINDOWS / 2, "only %d of %d windows were taken", taken, WINDOWS);
    cr_assert_lt(refused, taken / 2, "%d of %d were refused", refused, taken);
    catalogue_free(catalogue);
}

static void swap_lengths(ell_length *a, ell_length *b) {
    ell_length c = *a;
    *a = *b;
    *b = c;
}

static struct survey mirror(const struct survey *survey) {
    struct survey other = *survey;
    swap_lengths(&other.wall_left, &other.wall_right);
    if (survey->control != CONTROL_HAND)
        other.control = survey->control == CONTROL_CORD_LEFT ? CONTROL_CORD_RIGHT : CONTROL_CORD_LEFT;
    if (survey->draw != DRAW_PAIR)
        other.draw = survey->draw == DRAW_LEFT ? DRAW_RIGHT : DRAW_LEFT;
    for (size_t i = 0; i < survey->straight_count; i++)
        other.straights[i] = survey->straights[survey->straight_count - 1 - i];
    for (size_t i = 0; i + 1 < survey->straight_count; i++)
        other.angles[i] = survey->angles[survey->straight_count - 2 - i];
    return other;
}

/* A midpoint that is the middle of an odd number of tenths has no mirror image in tenths, hence one of play
 * then. */
static bool between_tenths(const struct takeoff *takeoff) {
    return takeoff->twice_midpoint == takeoff->overall && takeoff->overall % 2 != 0;
}

static bool mirrored_place(const struct takeoff *takeoff, ell_length a, ell_length b) {
    return llabs(takeoff->overall - a - b) <= between_tenths(takeoff);
}

static bool has_mirrored_split(const struct takeoff *one, const struct takeoff_split *split,
                               const struct takeoff *two) {
    for (size_t i = 0; i < two->split_count; i++) {
        size_t same = 0, joins = split->piece_count - 1;
        if (two->splits[i].piece_count != split->piece_count)
            continue;
        for (size_t j = 0; j < joins; j++)
            same += mirrored_place(one, split->joins[j], two->splits[i].joins[joins - 1 - j]);
        if (same == joins)
            return true;
    }
    return false;
}

static void check_mirror(const struct takeoff *one, const struct takeoff *two, int window) {
    cr_assert_eq(one->overall, two->overall, "window %d: overall", window);
    /* Loaded or long almost to the limit, that tenth may decide. */
    if (between_tenths(one) && one->mark_count != two->mark_count)
        return;
    cr_assert_eq(one->refused, two->refused, "window %d: refused", window);
    cr_assert_eq(one->mark_count, two->mark_count, "window %d: %zu and %zu marks", window, one->mark_count,
                 two->mark_count);
    for (size_t i = 0; i < one->mark_count; i++)
        cr_assert(mirrored_place(one, one->marks[i].from_left, two->marks[one->mark_count - 1 - i].from_left),
                  "window %d: mark %zu of %zu at %ld and %ld of %ld", window, i, one->mark_count,
                  (long)one->marks[i].from_left, (long)two->marks[one->mark_count - 1 - i].from_left,
                  (long)one->overall);
    cr_assert_eq(one->part_count, two->part_count, "window %d: parts", window);
    for (size_t i = 0; i < one->part_count; i++)
        cr_assert_eq(one->parts[i].quantity, two->parts[i].quantity, "window %d: part %zu", window, i);
    if (one->refused || between_tenths(one) || one->splits_capped)
        return;
    cr_assert_eq(one->split_count, two->split_count, "window %d: splits", window);
    for (size_t i = 0; i < one->split_count; i++)
        cr_assert(has_mirrored_split(one, &one->splits[i], two), "window %d: split %zu", window, i);
}

Test(properties, a_mirrored_survey_gives_a_mirrored_answer) {
    struct catalogue *catalogue = demo_catalogue();
    struct dice dice = {2};
    for (int window = 0; window < WINDOWS; window++) {
        struct survey survey, other;
        roll_survey(&dice, &survey);
        other = mirror(&survey);
        struct takeoff *one = take(&survey, catalogue, window), *two = take(&other, catalogue, window);
        cr_assert_eq(one == NULL, two == NULL, "window %d: only one is taken", window);
        if (one != NULL)
            check_mirror(one, two, window);
        takeoff_free(one);
        takeoff_free(two);
    }
    catalogue_free(catalogue);
}

/* Even marks stand symmetrically wherever the opening's midpoint is the track's. */
Test(properties, marks_of_a_symmetric_window_are_symmetric) {
    struct catalogue *catalogue = demo_catalogue();
    struct dice dice = {3};
    for (int window = 0; window < WINDOWS; window++) {
        struct survey survey;
        roll_survey(&dice, &survey);
        survey.wall_right = survey.wall_left;
        survey.draw = DRAW_PAIR;
        survey.straight_count = 0;
        survey.widths[0] = survey.width;
        struct takeoff *takeoff = take(&survey, catalogue, window);
        for (size_t i = 0; takeoff != NULL && i < takeoff->mark_count; i++)
            cr_assert(takeoff->even && takeoff->marks[i].from_midpoint ==
                                           -takeoff->marks[takeoff->mark_count - 1 - i].from_midpoint,
                      "window %d: mark %zu", window, i);
        takeoff_free(takeoff);
    }
    catalogue_free(catalogue);
}

Test(properties, a_heavier_curtain_never_needs_fewer_brackets) {
    struct catalogue *catalogue = demo_catalogue();
    struct dice dice = {4};
    for (int window = 0; window < WINDOWS; window++) {
        struct survey survey;
        roll_survey(&dice, &survey);
        struct takeoff *light = take(&survey, catalogue, window);
        survey.curtain.face *= 1 + (double)roll(&dice, 1, 100) / 100;
        struct takeoff *heavy = take(&survey, catalogue, window);
        if (light != NULL) {
            cr_assert(heavy->refused || !light->refused, "window %d: the heavier one is taken", window);
            cr_assert(heavy->refused || heavy->mark_count >= light->mark_count,
                      "window %d: %zu marks, then %zu", window, light->mark_count, heavy->mark_count);
        }
        takeoff_free(light);
        takeoff_free(heavy);
    }
    catalogue_free(catalogue);
}

static void lengthen(struct survey *survey, ell_length more) {
    for (size_t i = 0; i < survey->straight_count; i++)
        survey->straights[i] += more;
    more *= survey->straight_count > 0 ? (ell_length)survey->straight_count : 1;
    survey->width += more;
    for (int i = 0; i < 3; i++)
        survey->widths[i] += more;
}

static double greatest_use(const struct takeoff *takeoff) {
    const struct takeoff_hanging *hanging = &takeoff->hanging;
    return fmax(fmax(hanging->bracket_use, hanging->screw_use),
                fmax(hanging->track_use, fmax(hanging->bending_use, hanging->sag_use)));
}

/* Of any kind: lopsided, corded, bent, in several pieces; of a bay every straight grows. What a system spends beyond the
 * need (even_extra to stand evenly, joins.extra to save a piece) is left out. While a quarter of what is allowed is in
 * reserve the spacing alone decides. Beyond that a longer track may do with fewer, and lawfully: what a bracket carries under
 * an open curtain goes by where it stands under the stack, and that shifts with the length. */
Test(properties, a_longer_window_of_any_kind_needs_no_fewer_brackets) {
    static const int64_t growths[] = {20, 600, 6000};
    struct catalogue *catalogue = demo_catalogue();
    struct dice dice = {6};
    int compared = 0;
    for (size_t i = 0; i < catalogue->system_count; i++)
        catalogue->systems[i].brackets.even_extra = catalogue->systems[i].joins.extra = 0;
    for (int window = 0; window < WINDOWS; window++) {
        struct survey survey;
        roll_survey(&dice, &survey);
        survey.measure_confirmed = true;
        struct takeoff *narrow = take(&survey, catalogue, window);
        lengthen(&survey, roll(&dice, 1, growths[window % 3]));
        struct takeoff *wide = take(&survey, catalogue, window);
        if (narrow != NULL && wide != NULL && !narrow->refused && !wide->refused &&
            greatest_use(wide) < 0.75) {
            cr_assert_geq(wide->mark_count, narrow->mark_count, "window %d: %zu marks at %ld, %zu at %ld",
                          window, narrow->mark_count, (long)narrow->overall, wide->mark_count,
                          (long)wide->overall);
            compared++;
        }
        takeoff_free(narrow);
        takeoff_free(wide);
    }
    cr_assert_gt(compared, WINDOWS / 4, "only %d of %d were compared", compared, WINDOWS);
    catalogue_free(catalogue);
}

/* Loaded up to the last newton as well, where the track stands evenly and in one piece. */
Test(properties, a_longer_window_never_needs_fewer_brackets) {
    struct catalogue *catalogue = demo_catalogue();
    struct dice dice = {5};
    for (int window = 0; window < WINDOWS; window++) {
        struct survey survey;
        roll_survey(&dice, &survey);
        survey.straight_count = 0;
        survey.draw = DRAW_PAIR;
        survey.wall_left = survey.wall_right = survey.carrier_longest = SURVEY_UNKNOWN;
        for (int i = 0; i < 3; i++)
            survey.widths[i] = survey.width;
        struct takeoff *narrow = take(&survey, catalogue, window);
        ell_length more = roll(&dice, 1, 6000);
        survey.width += more;
        for (int i = 0; i < 3; i++)
            survey.widths[i] = survey.width;
        struct takeoff *wide = take(&survey, catalogue, window);
        /* Where a join must find a bracket, a few brackets more may be spent to save a piece. */
        bool single = narrow != NULL && !narrow->refused && narrow->splits[0].piece_count == 1;
        if (single && wide != NULL && !wide->refused)
            cr_assert_geq(wide->mark_count, narrow->mark_count, "window %d: %zu marks at %ld, %zu at %ld",
                          window, narrow->mark_count, (long)narrow->overall, wide->mark_count,
                          (long)wide->overall);
        takeoff_free(narrow);
        takeoff_free(wide);
    }
    catalogue_free(catalogue);
}
