/* The integer program by CBC. SPDX-License-Identifier: Apache-2.0 */
#include "pattern_model.h"

#include <coin/Cbc_C_Interface.h>
#include <stdio.h>

void pattern_model_solve(const struct pattern_model *model, double seconds, struct mip_answer *answer) {
    char limit[32];
    *answer = (struct mip_answer){0};
    Cbc_Model *program = Cbc_newModel();
    Cbc_setLogLevel(program, 0);
    Cbc_loadProblem(program, (int)model->columns, (int)model->rows, model->start, model->row, model->value,
                    NULL, model->most, model->cost, model->row_least, model->row_most);
    for (size_t i = 0; i < model->columns; i++)
        Cbc_setInteger(program, (int)i);
    snprintf(limit, sizeof limit, "%.3f", seconds);
    Cbc_setParameter(program, "log", "0");
    Cbc_setParameter(program, "timeMode", "cpu");
    Cbc_setParameter(program, "seconds", limit);
    Cbc_solve(program);
    answer->proven = Cbc_isProvenOptimal(program) != 0;
    answer->has_plan = answer->proven || Cbc_numberSavedSolutions(program) > 0;
    answer->cost = answer->has_plan ? Cbc_getObjValue(program) : 0;
    answer->bound = Cbc_getBestPossibleObjValue(program);
    Cbc_deleteModel(program);
}
