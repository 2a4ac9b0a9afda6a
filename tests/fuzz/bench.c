/* SPDX-License-Identifier: Apache-2.0 */
/* A scanner session: any bytes as lines; while something is asked, a line that begins with '{' is the answer and any other the
 * refusal. Whatever comes, the session has words for it and never asks two things at once. */
#include "bench/session.h"
#include "fuzz.h"

#include "common/document.h"

#include <stdlib.h>
#include <string.h>

static void must(bool holds) {
    if (!holds)
        abort();
}

static void answer(struct bench *bench, const char *line) {
    struct fault fault;
    json_t *tree = document_read(line, strlen(line), &document_small, &fault);
    if (json_is_object(tree))
        bench_answer(bench, tree);
    else
        bench_refusal(bench, strcmp(line, "far") == 0 ? "check-measure" : "no", line);
    json_decref(tree);
}

static void look(const struct bench *bench) {
    char text[BENCH_TEXT], big[BENCH_BIG];
    bench_in_hand(bench, text);
    must(text[0] != '\0');
    bench_next(bench, text);
    must(text[0] != '\0');
    bench_big(bench, big);
    json_decref(bench_list(bench));
    must(json_array_size(bench->kits) <= BENCH_KITS && bench->action_count <= BENCH_ACTIONS);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct line_reader reader = {0};
    struct bench bench;
    char line[LINE_MOST + 1];
    const char *verb;
    const json_t *body;
    const char *bytes = (const char *)data;
    if (size > 8192) /* only more of the same, and slow */
        return 0;
    bench_open(&bench, size % 3 == 0 ? "mm" : size % 3 == 1 ? "cm" : "in");
    while (size > 0) {
        bool asked = bench_request(&bench, &verb, &body);
        if (asked && bytes[0] == '{') {
            /* Answers may be longer than lines. */
            size_t length = strnlen(bytes, size);
            const char *end = memchr(bytes, '\n', length);
            length = end != NULL ? (size_t)(end - bytes) : length;
            char *copy = strndup(bytes, length);
            answer(&bench, copy);
            free(copy);
            length += length < size;
            bytes += length;
            size -= length;
            continue;
        }
        size_t taken;
        enum line_kind kind = line_take(&reader, bytes, size, &taken, line);
        bytes += taken;
        size -= taken;
        if (kind == LINE_NONE)
            continue;
        if (asked)
            answer(&bench, line);
        else
            bench_line(&bench, kind, line);
        look(&bench);
    }
    bench_close(&bench);
    return 0;
}
