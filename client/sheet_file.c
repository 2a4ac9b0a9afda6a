/* SPDX-License-Identifier: Apache-2.0 */
#include "sheet_file.h"

#include "label/sheet.h"
#include "new_file.h"

#include <errno.h>
#include <string.h>

/* What fwrite could not write, new_file_keep finds in the stream's state. */
static bool write_file(const char *path, const struct label_pdf *pdf) {
    struct new_file new;
    if (!new_file_begin(path, &new))
        return false;
    fwrite(pdf->bytes, 1, pdf->count, new.file);
    return new_file_keep(&new, path);
}

int sheet_file_write(struct program *program, const char *kind, const json_t *document, const char *path) {
    struct label_pdf pdf;
    struct fault fault;
    if (!sheet_render(kind, document, &pdf, &fault))
        return program_fault(program, &fault);
    int code = EXIT_DONE;
    if (pdf.missing > 0)
        program_wrong(
            program, EXIT_DONE, path,
            "%u letters are drawn as \uFFFD: no font here has them. Install a font for their script.",
            pdf.missing);
    if (!write_file(path, &pdf))
        code = program_wrong(program, EXIT_TROUBLE, path, "The file cannot be written: %s.", strerror(errno));
    else if (!program->settings.json)
        fprintf(program->screen.file, "%s: %u page%s\n", path, pdf.pages, pdf.pages == 1 ? "" : "s");
    label_pdf_free(&pdf);
    return code;
}
