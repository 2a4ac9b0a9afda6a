/* JSON from outside: bytes to a tree within bounds, and a tree read field by field.
 * Numbers, counts and depths are bounded before the JSON library sees them.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_COMMON_DOCUMENT_H
#define ELLWAND_COMMON_DOCUMENT_H

#include "common/fault.h"

#include <ellwand/length.h>
#include <jansson.h>
#include <stddef.h>
#include <stdint.h>

struct document_limits {
    size_t bytes;  /* of the text */
    size_t depth;  /* of nested arrays and objects */
    size_t values; /* commas, brackets and braces: an upper bound of the number of values */
};

/* For requests and files of one order; for catalogues and cutting problems. */
extern const struct document_limits document_small; /* 1 MiB, depth 16, 50 000 values */
extern const struct document_limits document_large; /* 64 MiB, depth 16, 4 000 000 values */

/* Reads `bytes` (need not end in NUL) as one JSON value. NULL and fault ("too-large", "too-deep", "bad-json")
 * with line and column in `where` when it is not. The caller owns the tree (json_decref). */
json_t *document_read(const char *bytes, size_t count, const struct document_limits *limits,
                      struct fault *fault) MUST_CHECK;

/* The same from a file; "-" is standard input. fault "no-file" when it cannot be read. */
json_t *document_read_file(const char *path, const struct document_limits *limits,
                           struct fault *fault) MUST_CHECK;

/* Reading an object field by field. The first thing that is wrong is kept, everything after it is skipped and
 * answers zero, "" or NULL, so one may read the whole object and ask once, in form_close, which also refuses
 * unknown fields.
 *
 *     struct form form;
 *     form_open(&form, json, "survey", fault);
 *     survey->width = form_length(&form, "width", 300 * ELL_MM, 12000 * ELL_MM);
 *     ...
 *     return form_close(&form);
 *
 * A form holds no memory: nothing needs freeing when one is given up. */
enum { FORM_FIELDS = 64 };

struct form {
    const json_t *object;
    char path[128];
    struct fault *fault;
    bool failed;
    size_t known_count;
    const char *known[FORM_FIELDS]; /* the names asked for; the caller's strings, so keep them constant */
};

/* `path` names the object in messages ("" for the top). Fails at once when `json` is not an object. */
void form_open(struct form *form, const json_t *json, const char *path, struct fault *fault);
/* False if anything was wrong, or if the object has a field that nobody asked for. */
bool form_close(struct form *form) MUST_CHECK;

/* True when the field is there and not null. Counts as asking for it. */
bool form_has(struct form *form, const char *name);

/* A field that must be there, within bounds (both included). Lengths are millimetres as a number or a text
 * with a unit ("183 cm", "72 1/2 in"). The *_or forms answer `otherwise` when the field is absent or null. */
ell_length form_length(struct form *form, const char *name, ell_length least, ell_length most);
ell_length form_length_or(struct form *form, const char *name, ell_length least, ell_length most,
                          ell_length otherwise);
int64_t form_integer(struct form *form, const char *name, int64_t least, int64_t most);
int64_t form_integer_or(struct form *form, const char *name, int64_t least, int64_t most, int64_t otherwise);
double form_number(struct form *form, const char *name, double least, double most);
double form_number_or(struct form *form, const char *name, double least, double most, double otherwise);
bool form_boolean_or(struct form *form, const char *name, bool otherwise);

/* Text of 1 to size-1 bytes of valid UTF-8 without control characters; never cut, too long is refused. */
void form_text(struct form *form, const char *name, char *text, size_t size);
void form_text_or(struct form *form, const char *name, char *text, size_t size, const char *otherwise);
/* An ISO 8601 date, "2026-11-30". */
void form_date_or(struct form *form, const char *name, char text[11], const char *otherwise);

/* The index of the text in `choices` (NULL-closed); the message lists them when it is none. */
int form_choice(struct form *form, const char *name, const char *const choices[]);
int form_choice_or(struct form *form, const char *name, const char *const choices[], int otherwise);

/* An array of `least` to `most` items, NULL when absent and least is 0. Borrowed from the tree. */
const json_t *form_array(struct form *form, const char *name, size_t least, size_t most);
/* An object, NULL when absent. Borrowed. */
const json_t *form_object(struct form *form, const char *name);
/* "path.name[index]" or, with index < 0, "path.name", for form_open of what lies below. */
char *form_below(const struct form *form, const char *name, long index, char path[128]);

/* Records something wrong with field `name` that the bounds cannot say; the first one wins. */
void form_wrong(struct form *form, const char *name, const char *code, const char *format, ...)
    PRINTF_LIKE(4, 5);

/* How documents are written (json_dumps): fifteen digits say a tenth of a millimetre exactly and hide what doubles add. */
#define DOCUMENT_COMPACT (JSON_COMPACT | JSON_ENCODE_ANY | JSON_REAL_PRECISION(15))

/* A length as JSON millimetres: an integer, or a number with one decimal. */
json_t *document_length(ell_length length);

#endif
