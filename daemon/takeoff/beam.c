/* Three moments for the supports, then each span on its own. SPDX-License-Identifier: Apache-2.0 */
#include "takeoff/beam.h"

#include <math.h>
#include <string.h>

/* The load between two places: its sum, its moment about `from`, and Clapeyron's terms 6Aa/l and 6Ab/l. */
struct share {
    double sum, about, right_term, left_term;
};

static struct share share_of(const struct beam *beam, double from, double to) {
    struct share share = {0, 0, 0, 0};
    double l = to - from;
    for (size_t i = 0; i < beam->load_count; i++) {
        const struct beam_load *load = &beam->loads[i];
        double c = fmax(load->from, from) - from, d = fmin(load->to, to) - from;
        if (d <= c)
            continue;
        double w = load->intensity, c2 = c * c, d2 = d * d, cr = (l - d) * (l - d), dr = (l - c) * (l - c);
        share.sum += w * (d - c);
        share.about += w * (d2 - c2) / 2;
        share.right_term += w / (4 * l) * (d2 * (2 * l * l - d2) - c2 * (2 * l * l - c2));
        share.left_term += w / (4 * l) * (dr * (2 * l * l - dr) - cr * (2 * l * l - cr));
    }
    return share;
}

/* Shear is positive just right of a support that pushes up; slope and sag are positive downward. */
struct state {
    double moment, shear, slope, sag;
};

static struct state step(const struct beam *beam, struct state at, double w, double x) {
    double ei = beam->rigidity;
    return (struct state){at.moment + at.shear * x - w * x * x / 2, at.shear - w * x,
                          at.slope - (at.moment * x + at.shear * x * x / 2 - w * x * x * x / 6) / ei,
                          at.sag + at.slope * x -
                              (at.moment * x * x / 2 + at.shear * x * x * x / 6 - w * x * x * x * x / 24) /
                                  ei};
}

/* Where the curves are looked at: along x (direction 1) or back along it (-1), from `origin` over `length`.
 */
struct walk {
    const struct beam *beam;
    struct beam_answer *answer; /* NULL: only the state at the end is wanted */
    double origin, direction, length, span;
};

static void see(const struct walk *walk, double x, struct state at) {
    struct beam_answer *answer = walk->answer;
    double sag = fabs(at.sag);
    answer->moment = fmax(answer->moment, fabs(at.moment));
    answer->sag_part = fmax(answer->sag_part, sag / walk->span);
    if (sag > answer->sag) {
        answer->sag = sag;
        answer->sag_at = walk->origin + walk->direction * x;
    }
}

/* The slope changes sign once between x = low and x = high: Newton's steps, halving whenever one leaves the
 * bracket. */
static double level_place(const struct walk *walk, struct state start, double w, double low, double high) {
    bool falls = step(walk->beam, start, w, low).slope > 0;
    double x = (low + high) / 2, close = (high - low) * 1e-9;
    for (int i = 0; i < 60; i++) {
        struct state at = step(walk->beam, start, w, x);
        if ((at.slope > 0) == falls)
            low = x;
        else
            high = x;
        double next = at.moment != 0 ? x + at.slope * walk->beam->rigidity / at.moment : low;
        if (!(next > low && next < high))
            next = (low + high) / 2;
        if (fabs(next - x) <= close)
            return next;
        x = next;
    }
    return x;
}

/* One stretch under one intensity. Between the zeros of the moment the slope is monotone. */
static void see_stretch(const struct walk *walk, struct state start, double x0, double w, double length) {
    double cuts[5] = {0}, root;
    size_t count = 1;
    if (w != 0 && (root = start.shear / w) > 0 && root < length)
        see(walk, x0 + root, step(walk->beam, start, w, root));
    double inside = start.shear * start.shear + 2 * w * start.moment;
    if (w != 0 && inside >= 0) {
        double spread = sqrt(inside), first = (start.shear - spread) / w, second = (start.shear + spread) / w;
        if (first > 0 && first < length)
            cuts[count++] = first;
        if (second > 0 && second < length)
            cuts[count++] = second;
    } else if (w == 0 && start.shear != 0) {
        root = -start.moment / start.shear;
        if (root > 0 && root < length)
            cuts[count++] = root;
    }
    cuts[count++] = length;
    for (size_t i = 0; i + 1 < count; i++) {
        double low = step(walk->beam, start, w, cuts[i]).slope,
               high = step(walk->beam, start, w, cuts[i + 1]).slope;
        if ((low > 0) != (high > 0)) {
            double x = level_place(walk, start, w, cuts[i], cuts[i + 1]);
            see(walk, x0 + x, step(walk->beam, start, w, x));
        }
    }
    see(walk, x0 + length, step(walk->beam, start, w, length));
}

/* From load edge to load edge; returns the state at the end. */
static struct state walk_along(const struct walk *walk, struct state at) {
    double x = 0;
    while (x < walk->length) {
        double next = walk->length, w = 0;
        for (size_t i = 0; i < walk->beam->load_count; i++) {
            const struct beam_load *load = &walk->beam->loads[i];
            double from = (load->from - walk->origin) * walk->direction;
            double to = (load->to - walk->origin) * walk->direction;
            double first = fmin(from, to), last = fmax(from, to);
            if (first > x && first < next)
                next = first;
            if (last > x && last < next)
                next = last;
            if (first <= x && last > x)
                w += load->intensity;
        }
        if (walk->answer != NULL)
            see_stretch(walk, at, x, w, next - x);
        at = step(walk->beam, at, w, next - x);
        x = next;
    }
    return at;
}

/* Moments over the supports: tridiagonal and diagonally dominant, so plain elimination is stable. */
static void solve_moments(const struct beam *beam, const struct share *shares, double *moments) {
    size_t last = beam->support_count - 1;
    double upper[BEAM_SUPPORTS];
    upper[0] = 0;
    for (size_t i = 1; i < last; i++) {
        double before = beam->supports[i] - beam->supports[i - 1],
               after = beam->supports[i + 1] - beam->supports[i];
        double pivot = 2 * (before + after) - before * upper[i - 1];
        upper[i] = after / pivot;
        moments[i] = (-shares[i - 1].right_term - shares[i].left_term - before * moments[i - 1]) / pivot;
        if (beam->hinges[i])
            upper[i] = moments[i] = 0;
    }
    for (size_t i = last; i-- > 1;)
        if (!beam->hinges[i])
            moments[i] -= upper[i] * moments[i + 1];
}

void beam_solve(const struct beam *beam, struct beam_answer *answer) {
    size_t last = beam->support_count - 1;
    struct share shares[BEAM_SUPPORTS];
    struct share left = share_of(beam, 0, beam->supports[0]);
    struct share right = share_of(beam, beam->supports[last], beam->length);
    memset(answer, 0, sizeof *answer);
    for (size_t i = 0; i < last; i++)
        shares[i] = share_of(beam, beam->supports[i], beam->supports[i + 1]);
    answer->moments[0] = -(left.sum * beam->supports[0] - left.about);
    answer->moments[last] = -right.about;
    solve_moments(beam, shares, answer->moments);
    answer->reactions[0] = left.sum;
    answer->reactions[last] = right.sum;
    struct state over = {0, 0, 0, 0};
    for (size_t i = 0; i < last; i++) {
        double l = beam->supports[i + 1] - beam->supports[i];
        double shear =
            shares[i].sum - shares[i].about / l + (answer->moments[i + 1] - answer->moments[i]) / l;
        answer->reactions[i] += shear;
        answer->reactions[i + 1] += shares[i].sum - shear;
        struct walk walk = {beam, NULL, beam->supports[i], 1, l, l};
        struct state start = {answer->moments[i], shear, 0, 0};
        start.slope = -walk_along(&walk, start).sag / l;
        walk.answer = answer;
        see(&walk, 0, start);
        over = walk_along(&walk, start);
        if (i == 0 && beam->supports[0] > 0) {
            struct walk back = {
                beam, answer, beam->supports[0], -1, beam->supports[0], 2 * beam->supports[0]};
            walk_along(&back, (struct state){answer->moments[0], left.sum, -start.slope, 0});
        }
    }
    double rest = beam->length - beam->supports[last];
    if (rest > 0) {
        struct walk on = {beam, answer, beam->supports[last], 1, rest, 2 * rest};
        walk_along(&on, (struct state){answer->moments[last], right.sum, over.slope, 0});
    }
}
