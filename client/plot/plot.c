/* The page of a plot and its file. SPDX-License-Identifier: Apache-2.0 */
#include "plot/plot.h"

#include "plot/canvas.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <stdlib.h>
#include <string.h>

enum { PAGE_WIDTH = 880, PNG_SCALE = 2 };

static bool ends_in(const char *path, const char *ending) {
    size_t length = strlen(path), tail = strlen(ending);
    return length > tail && strcmp(path + length - tail, ending) == 0;
}

bool plot_open(const char *path, const struct plot_text *text, struct plot **plot, struct fault *fault) {
    if (!ends_in(path, ".svg") && !ends_in(path, ".png") && !ends_in(path, ".pdf"))
        return fault_set(fault, "bad-option", path,
                         "A plot is written as .svg, .png or .pdf; the name must end so.");
    struct plot *made = calloc(1, sizeof *made);
    if (made == NULL || (made->path = strdup(path)) == NULL) {
        free(made);
        return fault_memory(fault);
    }
    made->text = text;
    made->width = PAGE_WIDTH;
    *plot = made;
    return true;
}

static cairo_surface_t *file_surface(const struct plot *plot) {
    if (ends_in(plot->path, ".svg"))
        return cairo_svg_surface_create(plot->path, plot->width, plot->height);
    if (ends_in(plot->path, ".pdf"))
        return cairo_pdf_surface_create(plot->path, plot->width, plot->height);
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)plot->width * PNG_SCALE,
                                                        (int)plot->height * PNG_SCALE);
    cairo_surface_set_device_scale(image, PNG_SCALE, PNG_SCALE);
    return image;
}

void canvas_begin(struct plot *plot, double height) {
    plot->height = height;
    plot->file = file_surface(plot);
    plot->cairo = cairo_create(plot->file);
    plot->layout = pango_cairo_create_layout(plot->cairo);
    cairo_set_source_rgb(plot->cairo, 1, 1, 1);
    cairo_paint(plot->cairo);
}

static cairo_status_t finish(struct plot *plot) {
    g_object_unref(plot->layout);
    cairo_status_t status = cairo_status(plot->cairo);
    cairo_destroy(plot->cairo);
    if (status == CAIRO_STATUS_SUCCESS && ends_in(plot->path, ".png"))
        status = cairo_surface_write_to_png(plot->file, plot->path);
    cairo_surface_finish(plot->file);
    status = status == CAIRO_STATUS_SUCCESS ? cairo_surface_status(plot->file) : status;
    cairo_surface_destroy(plot->file);
    return status;
}

bool plot_close(struct plot **plot, struct fault *fault) {
    if ((*plot)->cairo == NULL)
        canvas_begin(*plot, CANVAS_HEIGHT);
    cairo_status_t status = finish(*plot);
    bool good = status == CAIRO_STATUS_SUCCESS ||
                fault_set(fault, "no-file", (*plot)->path, "The plot cannot be written: %s.",
                          cairo_status_to_string(status));
    free((*plot)->path);
    free(*plot);
    *plot = NULL;
    return good;
}
