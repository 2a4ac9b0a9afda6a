/* Sizes of media: their names, what a queue takes, what is loaded. SPDX-License-Identifier: Apache-2.0 */
#include "print/media.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

char *print_media_name(ell_length width, ell_length height, char text[64]) {
    char across[ELL_LENGTH_TEXT], along[ELL_LENGTH_TEXT];
    bool a4 = width == 210 * ELL_MM && height == 297 * ELL_MM;
    snprintf(text, 64, "%s_%sx%smm", a4 ? "iso_a4" : "custom_label", ell_length_text(width, across),
             ell_length_text(height, along));
    return text;
}

static bool near(ell_length a, ell_length b) {
    return llabs(a - b) <= 1 * ELL_MM;
}

static bool listed(const struct print_size *sizes, size_t count, ell_length width, ell_length height) {
    for (size_t i = 0; i < count; i++)
        if (near(sizes[i].width, width) && near(sizes[i].height, height))
            return true;
    return false;
}

enum print_fit print_queue_loaded(const struct print_queue *queue, ell_length width, ell_length height) {
    if (queue->loaded_count == 0 || listed(queue->loaded, queue->loaded_count, width, height))
        return PRINT_FITS;
    return listed(queue->loaded, queue->loaded_count, height, width) ? PRINT_FITS_TURNED : PRINT_FITS_NOT;
}

static bool within(const struct print_queue *queue, ell_length width, ell_length height) {
    return width >= queue->least.width && width <= queue->most.width && height >= queue->least.height &&
           height <= queue->most.height;
}

enum print_fit print_queue_takes(const struct print_queue *queue, ell_length width, ell_length height) {
    bool told = queue->size_count > 0 || queue->most.width > 0;
    if (!told || listed(queue->sizes, queue->size_count, width, height))
        return PRINT_FITS;
    if (listed(queue->sizes, queue->size_count, height, width))
        return PRINT_FITS_TURNED;
    return within(queue, width, height)   ? PRINT_FITS
           : within(queue, height, width) ? PRINT_FITS_TURNED
                                          : PRINT_FITS_NOT;
}

static void read_size(ipp_t *size, struct print_queue *queue) {
    ipp_attribute_t *x = ippFindAttribute(size, "x-dimension", IPP_TAG_ZERO);
    ipp_attribute_t *y = ippFindAttribute(size, "y-dimension", IPP_TAG_ZERO);
    if (x == NULL || y == NULL)
        return;
    /* Hundredths of a millimetre. */
    if (ippGetValueTag(x) == IPP_TAG_RANGE && ippGetValueTag(y) == IPP_TAG_RANGE) {
        int most_x, most_y, least_x = ippGetRange(x, 0, &most_x), least_y = ippGetRange(y, 0, &most_y);
        queue->least = (struct print_size){least_x / 10, least_y / 10};
        queue->most = (struct print_size){most_x / 10, most_y / 10};
    } else if (ippGetValueTag(x) == IPP_TAG_INTEGER && ippGetValueTag(y) == IPP_TAG_INTEGER &&
               queue->size_count < PRINT_SIZES) {
        queue->sizes[queue->size_count++] =
            (struct print_size){(ippGetInteger(x, 0) + 5) / 10, (ippGetInteger(y, 0) + 5) / 10};
    }
}

bool media_take(ipp_attribute_t *attribute, struct print_queue *queue) {
    const char *name = ippGetName(attribute);
    if (strcmp(name, "media-size-supported") == 0) {
        for (int i = 0; i < ippGetCount(attribute); i++)
            read_size(ippGetCollection(attribute, i), queue);
    } else if (strcmp(name, "printer-resolution-supported") == 0) {
        for (int i = 0; i < ippGetCount(attribute) && queue->resolution_count < PRINT_RESOLUTIONS; i++) {
            int along;
            ipp_res_t unit;
            int across = ippGetResolution(attribute, i, &along, &unit);
            if (unit == IPP_RES_PER_INCH)
                queue->resolutions[queue->resolution_count++] = across;
        }
    } else if (strcmp(name, "copies-supported") == 0) {
        ippGetRange(attribute, 0, &queue->most_copies);
    } else if (strcmp(name, "orientation-requested-supported") == 0) {
        queue->turns = ippContainsInteger(attribute, IPP_ORIENT_LANDSCAPE);
    } else {
        return false;
    }
    return true;
}
