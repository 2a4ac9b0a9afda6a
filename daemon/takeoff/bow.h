/* A track bent in plan under its hanging load (a bow girder): bending and twist go over into each other along
 * the bends. Straight and curved lengths are cut into elements of a grillage: deflection, slope along the
 * track and twist at each node. Brackets hold the track up and upright; a joint hands on no bending moment.
 *
 * Sources: the element is that of any textbook of matrix structural analysis (beam and Saint-Venant torsion,
 * out of plane); closed forms to compare with are those of the circular bow girder, as in W. D. Pilkey,
 * Formulas for Stress, Strain, and Structural Matrices, and Roark's Formulas for Stress and Strain (curved
 * beams loaded normal to the plane of curvature). Units as in beam.h. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_TAKEOFF_BOW_H
#define ELLWAND_TAKEOFF_BOW_H

#include "takeoff/beam.h"

enum { BOW_BENDS = 8 };

struct bow_bend {
    double start, length; /* along the track */
    double turn;          /* radians; all to the same side */
};
struct bow {
    const struct beam *beam; /* places along the track, as if it were straight; no support within a bend */
    struct bow_bend bends[BOW_BENDS]; /* rising, apart from each other */
    size_t bend_count;
    double twist_ratio; /* G J / E I; more than 0 */
};

/* As beam_solve; sags are looked at in twelfths of each stretch, so that the greatest may be missed by 1 % of
 * it. `torque`: the greatest twisting moment anywhere, N mm. */
void bow_solve(const struct bow *bow, struct beam_answer *answer, double *torque);

#endif
