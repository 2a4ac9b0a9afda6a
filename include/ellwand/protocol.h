/* The fixed numbers of the protocol, and what a verb and a request id may look like. The whole of it is told
 * in protocol.md beside this file. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_PROTOCOL_H
#define ELLWAND_PROTOCOL_H

#include <stdbool.h>
#include <stddef.h>

/* First frame of every request and reply. A change that old programs cannot read gets a new number. */
#define ELL_PROTOCOL "ELLWAND1"

/* Bytes of one JSON body, request or reply. Up to twice that is answered by an error; beyond, the connection
 * ends. */
#define ELL_BODY_MAX ((size_t)8 << 20)

/* Characters, the closing NUL not counted. */
#define ELL_VERB_MAX 40
#define ELL_REQUEST_ID_MAX 64
#define ELL_KEY_NAME_MAX 63
#define ELL_TOPIC_MAX 63

/* A CURVE key as text (Z85, ZeroMQ RFC 32): 40 characters and NUL. */
#define ELL_CURVE_TEXT 41

/* A verb is 1 to 40 of a-z, '.' and '-'. */
static inline bool ell_verb_valid(const char *text, size_t size) {
    bool valid = size >= 1 && size <= ELL_VERB_MAX;
    for (size_t i = 0; valid && i < size; i++)
        valid = (text[i] >= 'a' && text[i] <= 'z') || text[i] == '.' || text[i] == '-';
    return valid;
}

/* Letters, digits, '.', '_' and '-', 1 to `most` of them: request ids (64), key names (63), topics (63). */
static inline bool ell_word_valid(const char *text, size_t size, size_t most) {
    bool valid = size >= 1 && size <= most;
    for (size_t i = 0; valid && i < size; i++) {
        char c = text[i];
        valid = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' ||
                c == '_' || c == '-';
    }
    return valid;
}

#endif
