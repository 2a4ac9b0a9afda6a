/* Bays against closed forms and against the path itself, walked in the plane. Source: geometry of tangents
 * and circles. SPDX-License-Identifier: Apache-2.0 */
#include "common/document.h"
#include "takeoff/takeoff.h"

#include <criterion/criterion.h>
#include <math.h>

#ifdef __SANITIZE_ADDRESS__
enum { TRIALS = 200 };
#else
enum { TRIALS = 2000 };
#endif

static const double pi = 3.14159265358979323846;

static struct catalogue *read_catalogue(void) {
    struct fault fault = {.code = ""};
    json_t *json = document_read_file(REFERENCE_DIR "/catalogue.json", &document_large, &fault);
    struct catalogue *catalogue = json == NULL ? NULL : catalogue_read(json, &fault);
    cr_assert_not_null(catalogue, "%s %s", fault.where, fault.message);
    json_decref(json);
    return catalogue;
}

static struct takeoff *bay(const struct catalogue *catalogue, const double *straights, const double *angles,
                           size_t count) {
    struct fault fault = {.code = ""};
    struct takeoff *takeoff = NULL;
    struct survey survey;
    json_t *json = json_pack("{ss,ss,ss,si,ss,ss,ss,ss,ss,sb,s{s[],s[]},s{si,ss,sf,sf}}", "window", "W",
                             "position", "face", "place", "outside", "height", 1200, "substrate", "batten",
                             "control", "hand", "draw", "pair", "system", "LONG", "finish", "WH",
                             "measure_confirmed", 1, "bay", "straights", "angles", "curtain", "drop", 1300,
                             "heading", "tape", "fullness", 2.0, "face", 200.0);
    for (size_t i = 0; i < count; i++)
        json_array_append_new(json_object_get(json_object_get(json, "bay"), "straights"),
                              json_real(straights[i]));
    for (size_t i = 0; i + 1 < count; i++)
        json_array_append_new(json_object_get(json_object_get(json, "bay"), "angles"), json_real(angles[i]));
    cr_assert(survey_read(json, "", &survey, &fault) && takeoff_compute(&survey, catalogue, &takeoff, &fault),
              "%s at %s: %s", fault.code, fault.where, fault.message);
    json_decref(json);
    return takeoff;
}

/* Two walls at a right angle: a + b - 2 (p + r) + pi r / 2, with p = 50 to the neutral line and r = 200. */
Test(bends, a_right_angle_has_a_closed_form) {
    struct catalogue *catalogue = read_catalogue();
    const double straights[] = {1200, 1500}, angles[] = {90};
    struct takeoff *takeoff = bay(catalogue, straights, angles, 2);
    double wanted = 1200 + 1500 - 2 * (50 + 200) + pi * 200 / 2;
    cr_assert(fabs((double)takeoff->overall / 10 - wanted) < 0.16, "%g, closed form %g",
              (double)takeoff->overall / 10, wanted);
    cr_assert_gt(takeoff->hanging.torque, 0, "a bend twists");
    takeoff_free(takeoff);
    catalogue_free(catalogue);
}

struct walker {
    double x, y, heading; /* radians, anticlockwise */
};

static void walk_straight(struct walker *walker, double length) {
    walker->x += length * cos(walker->heading);
    walker->y += length * sin(walker->heading);
}

/* Turns left along an arc of radius r. */
static void walk_arc(struct walker *walker, double radius, double turn) {
    walker->x += radius * (sin(walker->heading + turn) - sin(walker->heading));
    walker->y -= radius * (cos(walker->heading + turn) - cos(walker->heading));
    walker->heading += turn;
}

/* The wall's own path ends somewhere; the track, begun 50 to its left (nearer the room), must end 50 to its
 * left there. */
Test(bends, the_track_ends_where_the_wall_does) {
    struct catalogue *catalogue = read_catalogue();
    uint64_t seed = 7;
    for (int trial = 0; trial < TRIALS; trial++) {
        double straights[9], angles[8];
        size_t count = 2 + (size_t)(trial % 4);
        for (size_t i = 0; i < count; i++) {
            seed = seed * 6364136223846793005u + 1442695040888963407u;
            straights[i] = 700 + (double)(seed >> 40) / (double)(1 << 24) * 800;
            straights[i] = round(straights[i] * 10) / 10;
            angles[i % 8] = 100 + (double)((seed >> 20) & 0xffff) / 65536 * 65;
        }
        struct takeoff *takeoff = bay(catalogue, straights, angles, count);
        struct walker wall = {0, 0, 0}, track = {0, 50, 0};
        ell_length at = 0;
        for (size_t i = 0; i < count; i++) {
            ell_length end = i < takeoff->bend_count ? takeoff->bends[i].start : takeoff->overall;
            walk_straight(&wall, straights[i]);
            walk_straight(&track, (double)(end - at) / 10);
            if (i + 1 == count)
                break;
            wall.heading += (180 - angles[i]) * pi / 180;
            walk_arc(&track, 200, (180 - angles[i]) * pi / 180);
            at = end + takeoff->bends[i].length;
            double arc = 200 * (180 - angles[i]) * pi / 180;
            cr_assert(fabs((double)takeoff->bends[i].length / 10 - arc) <= 0.0501, "trial %d: arc %g", trial,
                      arc);
        }
        double x = wall.x - 50 * sin(wall.heading), y = wall.y + 50 * cos(wall.heading);
        /* Each straight is rounded to a tenth. */
        cr_assert(hypot(track.x - x, track.y - y) < 0.05 * (double)count + 0.01, "trial %d: ends %g mm away",
                  trial, hypot(track.x - x, track.y - y));
        takeoff_free(takeoff);
    }
    catalogue_free(catalogue);
}
