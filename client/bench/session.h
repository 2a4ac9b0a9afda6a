/* A session at the bench: what is in hand, what a scan means, what is asked of the daemon, and what to scan next. Pure: it
 * neither reads nor prints nor asks; whoever drives it does.
 *
 *     bench_line(bench, "K3Q");
 *     while (bench_request(bench, &verb, &body))
 *         ... ask, then bench_answer(bench, answer) or bench_refusal(bench, code, message);
 *     show bench->said, then bench_next(bench, text)
 *
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_BENCH_SESSION_H
#define ELLWAND_CLIENT_BENCH_SESSION_H

#include "bench/input.h"

#include <jansson.h>

enum {
    BENCH_KITS = 40,
    BENCH_TEXT = 512,
    BENCH_NAME = 96,
    BENCH_SPOILED = 50,
    BENCH_ACTIONS = 32,
    BENCH_BIG = 24
};

enum bench_outcome {
    BENCH_TOLD,   /* nothing was changed */
    BENCH_DONE,   /* the books were changed */
    BENCH_REFUSED /* not done; `said` says what to do */
};

enum bench_hand { HAND_EMPTY, HAND_KITS, HAND_BAR, HAND_RACK, HAND_PARCELS };

/* What must be answered before anything else. */
enum bench_question {
    ASK_NOTHING,
    ASK_FOUND,     /* how many lie in the bin that is short */
    ASK_SPOILED,   /* which piece was mis-cut */
    ASK_RECUT,     /* DONE sends the piece back to be cut again */
    ASK_WRITE_OFF, /* DONE writes the bar or offcut off */
    ASK_MEASURE    /* the remainder once more: it is far from the plan */
};

enum bench_deed {
    DEED_PICK,
    DEED_MATCH,
    DEED_PACK,
    DEED_SHORT,
    DEED_CUT,
    DEED_SENT,
    DEED_RECUT,
    DEED_WRITE_OFF
};

struct bench_action {
    enum bench_deed deed;
    char kit[CODE_TEXT], subject[BENCH_NAME]; /* part or piece */
    char what[BENCH_NAME];                    /* in words */
    json_t *quantity;                         /* of a pick, owned */
};

struct bench {
    const char *unit; /* of a number typed without one: "mm", "cm" or "in" */

    /* In hand. */
    enum bench_hand hand;
    json_t *shown; /* kits: the answer of kit.show; bar: that of plan.show; rack: scan.look */
    json_t *kits;  /* their codes */
    char bin[CODE_TEXT], part[CODE_TEXT];   /* chosen stop of the walk: codes, "" for none */
    char bar[CODE_TEXT], order[BENCH_NAME]; /* the bar or offcut; the order of the parcels */
    char spoiled[BENCH_SPOILED][CODE_TEXT]; /* pieces of the bar */
    int spoiled_count;
    char place[BENCH_NAME]; /* where the remainder goes, "": where the bar lay */
    char hint[BENCH_TEXT];  /* what to scan next when the hand is empty; "" for what is usual */
    enum bench_question question;
    char subject[BENCH_NAME]; /* of the question: piece, or reason */
    char number[16];          /* typed or scanned figure by figure, for what comes next; "" for none */
    ell_length measured;      /* first measure, when ASK_MEASURE */
    bool whole_list, ended;
    bool fresh;                                 /* the list is new with this line */
    struct bench_action actions[BENCH_ACTIONS]; /* that UNDO takes back, the last at the end */
    int action_count;

    /* What came of the last line. */
    enum bench_outcome outcome;
    char said[BENCH_TEXT], code[40]; /* code: of the refusal, else "" */

    /* Under way. */
    const char *verb;    /* to be asked, NULL for nothing */
    json_t *body, *sent; /* sent: the one that was answered last */
    void (*then)(struct bench *bench, const json_t *answer);
    char asked[BENCH_NAME]; /* what it is about, for the words about it */
    json_t *packing;        /* kits still to be packed by one DONE */
};

/* `unit` is "mm", "cm" or "in", and stays. */
void bench_open(struct bench *bench, const char *unit);
void bench_close(struct bench *bench);

/* Takes a line; only while no request is open. */
void bench_line(struct bench *bench, enum line_kind kind, const char *line);

/* The request that must be asked now; false for none. Both are borrowed until it is answered. Lines that change the books ask
 * one change and then look how things stand. */
bool bench_request(const struct bench *bench, const char **verb, const json_t **body);
void bench_answer(struct bench *bench, const json_t *answer);
void bench_refusal(struct bench *bench, const char *code, const char *message);

/* What is in hand, and what to scan next, in a sentence or two; what to read from afar ("" for nothing). */
void bench_in_hand(const struct bench *bench, char text[BENCH_TEXT]);
void bench_next(const struct bench *bench, char text[BENCH_TEXT]);
void bench_big(const struct bench *bench, char text[BENCH_BIG]);

/* What comes after it, as rows {"a", "b", "c", "d"} of texts, the next one first; a new array. */
json_t *bench_list(const struct bench *bench);

/* The row of the plan for the bar in hand, borrowed; NULL when there is none. */
const json_t *bench_bar(const struct bench *bench);

#endif
