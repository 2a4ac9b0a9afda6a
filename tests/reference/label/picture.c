/* What happens to a label in a workshop, done to a picture of it, and how far two pictures differ:
 *   picture blur|pale|corner|bars-corner IN.png OUT.png DPI
 *   picture differ ONE.png OTHER.png          prints the root mean square of the difference, 0 to 255
 *   picture greys PICTURE.png                 prints how many dots are neither black nor white
 * SPDX-License-Identifier: Apache-2.0 */
#include <cairo.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct picture {
    int width, height;
    unsigned char *grey; /* width x height, malloc'ed */
};

static bool read_picture(const char *path, struct picture *picture) {
    cairo_surface_t *surface = cairo_image_surface_create_from_png(path);
    bool good = cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS;
    if (good) {
        picture->width = cairo_image_surface_get_width(surface);
        picture->height = cairo_image_surface_get_height(surface);
        picture->grey = calloc((size_t)picture->width, (size_t)picture->height);
        int stride = cairo_image_surface_get_stride(surface);
        const unsigned char *data = cairo_image_surface_get_data(surface);
        good = picture->grey != NULL;
        for (int y = 0; good && y < picture->height; y++)
            for (int x = 0; x < picture->width; x++)
                picture->grey[(size_t)y * (size_t)picture->width + (size_t)x] =
                    data[(size_t)y * (size_t)stride + (size_t)x * 4];
    }
    cairo_surface_destroy(surface);
    return good;
}

static bool write_picture(const char *path, const struct picture *picture) {
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture->width, picture->height);
    int stride = cairo_image_surface_get_stride(surface);
    unsigned char *data = cairo_image_surface_get_data(surface);
    cairo_surface_flush(surface);
    for (int y = 0; y < picture->height; y++)
        for (int x = 0; x < picture->width; x++)
            memset(data + (size_t)y * (size_t)stride + (size_t)x * 4,
                   picture->grey[(size_t)y * (size_t)picture->width + (size_t)x], 4);
    cairo_surface_mark_dirty(surface);
    bool good = cairo_surface_write_to_png(surface, path) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(surface);
    return good;
}

static int at(const struct picture *picture, int x, int y) {
    x = x < 0 ? 0 : x >= picture->width ? picture->width - 1 : x;
    y = y < 0 ? 0 : y >= picture->height ? picture->height - 1 : y;
    return picture->grey[(size_t)y * (size_t)picture->width + (size_t)x];
}

/* A scanner out of focus: weights 1 2 1 in both directions. */
static bool blur(struct picture *picture) {
    size_t count = (size_t)picture->width * (size_t)picture->height;
    unsigned char *soft = calloc(count, 1);
    if (soft == NULL)
        return false;
    for (int y = 0; y < picture->height; y++)
        for (int x = 0; x < picture->width; x++) {
            int sum = 0;
            for (int dy = -1; dy <= 1; dy++)
                for (int dx = -1; dx <= 1; dx++)
                    sum += (2 - abs(dx)) * (2 - abs(dy)) * at(picture, x + dx, y + dy);
            soft[(size_t)y * (size_t)picture->width + (size_t)x] = (unsigned char)(sum / 16);
        }
    free(picture->grey);
    picture->grey = soft;
    return true;
}

/* Worn thermal paper: black turns to a middling grey, white as well. */
static void pale(struct picture *picture) {
    size_t count = (size_t)picture->width * (size_t)picture->height;
    for (size_t i = 0; i < count; i++)
        picture->grey[i] = (unsigned char)(95 + picture->grey[i] * 80 / 255);
}

/* Where the first column from the left stands that is black for `least` dots on end: the edge of a scan symbol. */
struct edge {
    int x, top, bottom;
};

static bool find_edge(const struct picture *picture, int least, struct edge *edge) {
    for (int x = 0; x < picture->width; x++)
        for (int y = 0, run = 0; y < picture->height; y++) {
            run = at(picture, x, y) < 128 ? run + 1 : 0;
            if (run < least)
                continue;
            while (y + 1 < picture->height && at(picture, x, y + 1) < 128) {
                run++;
                y++;
            }
            *edge = (struct edge){x, y - run + 1, y};
            return true;
        }
    return false;
}

/* The upper right corner of the symbol is torn off: of a matrix 3 by 3 of its 14 modules, of bars the upper third right of
 * 12 mm. */
static bool corner(struct picture *picture, double dots_per_mm, bool bars) {
    struct edge edge;
    if (!find_edge(picture, (int)((bars ? 3 : 5) * dots_per_mm), &edge))
        return false;
    int side = edge.bottom - edge.top + 1, torn = side * 3 / 14;
    int from = edge.x + (bars ? (int)(12 * dots_per_mm) : side - torn);
    int to = edge.x + (bars ? (int)(60 * dots_per_mm) : side);
    int down = edge.top + (bars ? side / 3 : torn);
    for (int y = edge.top; y < down; y++)
        for (int x = from; x < to && x < picture->width; x++)
            picture->grey[(size_t)y * (size_t)picture->width + (size_t)x] = 255;
    return true;
}

/* How many dots are neither black nor white. */
static int greys(const struct picture *picture) {
    size_t count = (size_t)picture->width * (size_t)picture->height, found = 0;
    for (size_t i = 0; i < count; i++)
        found += picture->grey[i] != 0 && picture->grey[i] != 255;
    printf("%zu\n", found);
    return 0;
}

static int differ(const struct picture *one, const struct picture *other) {
    if (one->width != other->width || one->height != other->height) {
        printf("255\n");
        return 0;
    }
    double sum = 0;
    size_t count = (size_t)one->width * (size_t)one->height;
    for (size_t i = 0; i < count; i++)
        sum += pow(one->grey[i] - other->grey[i], 2);
    printf("%.2f\n", count > 0 ? sqrt(sum / (double)count) : 0);
    return 0;
}

/* Does `what` to the picture, whose dots are so close. */
static bool wear(const char *what, struct picture *picture, double dots_per_mm) {
    if (strcmp(what, "blur") == 0)
        return blur(picture);
    if (strcmp(what, "pale") == 0) {
        pale(picture);
        return true;
    }
    bool bars = strcmp(what, "bars-corner") == 0;
    return (bars || strcmp(what, "corner") == 0) && corner(picture, dots_per_mm, bars);
}

int main(int count, char **arguments) {
    struct picture one = {.grey = NULL}, other = {.grey = NULL};
    int code = 1;
    if (count < 3 || !read_picture(arguments[2], &one))
        fputs("usage: picture blur|pale|corner|bars-corner IN.png OUT.png DPI | picture differ ONE.png "
              "OTHER.png | "
              "picture greys PICTURE.png\n",
              stderr);
    else if (strcmp(arguments[1], "greys") == 0)
        code = greys(&one);
    else if (count > 3 && strcmp(arguments[1], "differ") == 0)
        code = read_picture(arguments[3], &other) ? differ(&one, &other) : 1;
    else if (count > 4)
        code =
            wear(arguments[1], &one, strtod(arguments[4], NULL) / 25.4) && write_picture(arguments[3], &one)
                ? 0
                : 1;
    free(one.grey);
    free(other.grey);
    return code;
}
