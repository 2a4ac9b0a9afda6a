/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/integer.h"

#include <stdlib.h>

void integer_free(struct integer_program *program) {
    free(program->rows);
    free(program->columns);
    free(program->entry_rows);
    free(program->entry_values);
    *program = (struct integer_program){0};
}

/* Room for one more; false for want of memory. */
static bool room(void **array, size_t *have, size_t wanted, size_t size) {
    if (wanted <= *have)
        return true;
    size_t more = wanted * 2 + 64;
    void *bigger = realloc(*array, more * size);
    if (bigger == NULL)
        return false;
    *array = bigger;
    *have = more;
    return true;
}

size_t integer_row(struct integer_program *program, int64_t least, int64_t most) {
    if (!room((void **)&program->rows, &program->row_room, program->row_count + 1, sizeof *program->rows)) {
        program->no_memory = true;
        return 0;
    }
    program->rows[program->row_count] = (struct integer_row){least, most};
    return program->row_count++;
}

size_t integer_column(struct integer_program *program, int64_t cost, int64_t limit, uint8_t rank) {
    if (!room((void **)&program->columns, &program->column_room, program->column_count + 1,
              sizeof *program->columns)) {
        program->no_memory = true;
        return 0;
    }
    program->columns[program->column_count] =
        (struct integer_column){cost, limit, program->entry_count, rank};
    return program->column_count++;
}

void integer_entry(struct integer_program *program, size_t row, int64_t value) {
    size_t before = program->entry_room;
    if (!room((void **)&program->entry_rows, &before, program->entry_count + 1,
              sizeof *program->entry_rows) ||
        !room((void **)&program->entry_values, &program->entry_room, program->entry_count + 1,
              sizeof *program->entry_values)) {
        program->no_memory = true;
        return;
    }
    program->entry_rows[program->entry_count] = (int)row;
    program->entry_values[program->entry_count++] = value;
}

void integer_answer_free(struct integer_answer *answer) {
    free(answer->uses);
    *answer = (struct integer_answer){0};
}
