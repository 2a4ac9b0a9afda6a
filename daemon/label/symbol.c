/* SPDX-License-Identifier: Apache-2.0 */
#include "label/symbol.h"

#include "common/text.h"

#include <math.h>
#include <string.h>
#include <zint.h>

/* The library's number for the Data Matrix size of 14 by 14 modules, 8 codewords: up to 14 digits. */
enum { SIZE_14_BY_14 = 3 };

/* At scale 1 the library counts two units to a module. */
static bool take_bars(const struct zint_symbol *made, struct symbol *symbol) {
    symbol->count = 0;
    for (const struct zint_vector_rect *bar = made->vector->rectangles; bar; bar = bar->next) {
        if (symbol->count == SYMBOL_BARS)
            return false;
        bool linear = symbol->symbology == SYMBOL_CODE_128;
        symbol->bars[symbol->count].x = (short)lround(bar->x / 2);
        symbol->bars[symbol->count].width = (short)lround(bar->width / 2);
        symbol->bars[symbol->count].y = linear ? 0 : (short)lround(bar->y / 2);
        symbol->bars[symbol->count].height = linear ? 1 : (short)lround(bar->height / 2);
        symbol->count++;
    }
    return true;
}

bool symbol_make(enum symbology symbology, const char *content, struct symbol *symbol, struct fault *fault) {
    long length = text_check(content, 40);
    for (long i = 0; i < length; i++)
        if (content[i] < ' ' || content[i] > '~')
            length = -1;
    if (length < 1)
        return fault_set(fault, "bad-symbol", "",
                         "A scan symbol holds 1 to 40 letters and digits without accents.");
    struct zint_symbol *made = ZBarcode_Create();
    if (made == NULL)
        return fault_memory(fault);
    bool matrix = symbology == SYMBOL_DATA_MATRIX;
    made->symbology = matrix ? BARCODE_DATAMATRIX : BARCODE_CODE128;
    made->option_3 = matrix ? DM_SQUARE : 0;
    made->show_hrt = 0;
    made->scale = 1;
    int answer = ZINT_ERROR;
    if (matrix) {
        /* One size for all common codes, so that labels line up; the library chooses when that is too small.
         */
        made->option_2 = SIZE_14_BY_14;
        answer = ZBarcode_Encode_and_Buffer_Vector(made, (const unsigned char *)content, (int)length, 0);
        made->option_2 = answer >= ZINT_ERROR ? 0 : made->option_2;
    }
    if (answer >= ZINT_ERROR)
        answer = ZBarcode_Encode_and_Buffer_Vector(made, (const unsigned char *)content, (int)length, 0);
    *symbol = (struct symbol){.symbology = symbology,
                              .columns = made->width,
                              .rows = matrix ? made->rows : 1,
                              .quiet_x = matrix ? 2 : 10,
                              .quiet_y = matrix ? 2 : 0};
    bool done = answer < ZINT_ERROR && take_bars(made, symbol);
    if (!done)
        fault_set(fault, "bad-symbol", "", "The scan symbol for \"%s\" cannot be made: %s.", content,
                  made->errtxt);
    ZBarcode_Delete(made);
    return done;
}

double symbol_dot(int dots_per_inch) {
    if (dots_per_inch == 0 || dots_per_inch == 203)
        return 0.125;
    return 25.4 / dots_per_inch;
}

double symbol_module(const struct symbol *symbol, int dots_per_inch, double width, double height) {
    bool matrix = symbol->symbology == SYMBOL_DATA_MATRIX;
    double dot = symbol_dot(dots_per_inch);
    double most = fmin(1.02, width / (symbol->columns + 2 * symbol->quiet_x));
    if (matrix)
        most = fmin(most, height / (symbol->rows + 2 * symbol->quiet_y));
    else
        most = fmin(most, 0.51);
    double module = floor(most / dot + 1e-9) * dot;
    return module < (matrix ? 0.37 : 0.249) ? 0 : module;
}
