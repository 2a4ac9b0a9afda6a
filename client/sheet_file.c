/* SPDX-License-Identifier: Apache-2.0 */
#include "sheet_file.h"

#include "label/sheet.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool write_all(int descriptor, const unsigned char *bytes, size_t count) {
    while (count > 0) {
        ssize_t written = write(descriptor, bytes, count);
        if (written < 0 && errno == EINTR)
            continue;
        if (written <= 0)
            return false;
        bytes += written;
        count -= (size_t)written;
    }
    return true;
}

static bool write_file(const char *path, const struct label_pdf *pdf) {
    char beside[4096];
    if (snprintf(beside, sizeof beside, "%s.XXXXXX", path) >= (int)sizeof beside)
        return errno = ENAMETOOLONG, false;
    int descriptor = mkstemp(beside);
    if (descriptor < 0)
        return false;
    bool good = write_all(descriptor, pdf->bytes, pdf->count) && fchmod(descriptor, 0644) == 0;
    good = close(descriptor) == 0 && good;
    good = good && rename(beside, path) == 0;
    if (!good) {
        int why = errno;
        unlink(beside);
        errno = why;
    }
    return good;
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
