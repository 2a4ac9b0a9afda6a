/* SPDX-License-Identifier: Apache-2.0 */
#include "replenish/project.h"

#include <math.h>
#include <stdio.h>

static bool check_week(const struct project_week *week, size_t index, struct fault *fault) {
    char where[32];
    snprintf(where, sizeof where, "weeks[%zu]", index);
    bool good = week->coming >= 0 && week->coming <= 1e15 && week->ordered >= 0 && week->ordered <= 1e15 &&
                week->forecast >= 0 && week->forecast <= 1e15;
    return good || fault_set(fault, "out-of-range", where,
                             "What comes, is ordered and expected in a week is 0 to 1e15.");
}

bool project_compute(double on_hand, double safety, struct project_week *weeks, size_t count,
                     struct project *project, struct fault *fault) {
    if (count < 1 || count > PROJECT_WEEKS || !(fabs(on_hand) <= 1e15) || !(safety >= 0 && safety <= 1e15))
        return fault_set(fault, "out-of-range", "weeks",
                         "A projection has 1 to %d weeks, and stocks up to 1e15.", PROJECT_WEEKS);
    for (size_t i = 0; i < count; i++)
        if (!check_week(&weeks[i], i, fault))
            return false;
    double stock = on_hand;
    *project = (struct project){count, count};
    for (size_t i = 0; i < count; i++) {
        stock += weeks[i].coming - fmax(weeks[i].ordered, weeks[i].forecast);
        weeks[i].stock = stock;
        /* Rounding errors of many weeks are no shortage. */
        double slack = 1e-9 * (1 + fabs(on_hand));
        if (project->below == count && stock < safety - slack)
            project->below = i;
        if (project->out == count && stock < -slack)
            project->out = i;
    }
    return true;
}
