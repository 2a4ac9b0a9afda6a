/* What happens to a label in a workshop, done to a picture of it, and how far two pictures differ:
 *   picture blur|pale|corner IN.png OUT.png [DPI]
 *   picture differ ONE.png OTHER.png          prints the root mean square of the difference, 0 to 255
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

/* The upper right corner of the symbol in the label's upper left is torn off: from 14 mm on, down to 4 mm. */
static void corner(struct picture *picture, double dots_per_mm) {
    int from = (int)(14 * dots_per_mm), to = (int)(17 * dots_per_mm), down = (int)(4 * dots_per_mm);
    for (int y = 0; y < down && y < picture->height; y++)
        for (int x = from; x < to && x < picture->width; x++)
            picture->grey[(size_t)y * (size_t)picture->width + (size_t)x] = 255;
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

int main(int count, char **arguments) {
    struct picture one = {.grey = NULL}, other = {.grey = NULL};
    int code = 1;
    if (count < 4 || !read_picture(arguments[2], &one)) {
        fputs("usage: picture blur|pale|corner IN.png OUT.png [DPI] | picture differ ONE.png OTHER.png\n",
              stderr);
    } else if (strcmp(arguments[1], "differ") == 0) {
        if (read_picture(arguments[3], &other))
            code = differ(&one, &other);
    } else {
        bool good = true;
        if (strcmp(arguments[1], "blur") == 0)
            good = blur(&one);
        else if (strcmp(arguments[1], "pale") == 0)
            pale(&one);
        else
            corner(&one, count > 4 ? strtod(arguments[4], NULL) / 25.4 : 8);
        code = good && write_picture(arguments[3], &one) ? 0 : 1;
    }
    free(one.grey);
    free(other.grey);
    return code;
}
