/* Inside the session. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_BENCH_INNER_H
#define ELLWAND_CLIENT_BENCH_INNER_H

#include "bench/session.h"

#include "common/fault.h"

/* The text of a field, "" when it has none; the first object of a list whose field is `text`, NULL for none. */
const char *bench_text(const json_t *object, const char *field);
const json_t *bench_find(const json_t *list, const char *field, const char *text);

/* A quantity of the row's unit in words: "12", "5200 mm". */
void bench_quantity(const struct bench *bench, const json_t *row, const json_t *quantity,
                    char text[BENCH_NAME]);
void bench_length_text(const struct bench *bench, double mm, char text[BENCH_NAME]);

/* Prints into a bounded text, cut between characters. */
void bench_print(char *text, size_t size, const char *format, ...) PRINTF_LIKE(3, 4);

void bench_say(struct bench *bench, enum bench_outcome outcome, const char *format, ...) PRINTF_LIKE(3, 4);

/* Asks `verb` with `body` (taken over); `then` gets the answer. */
void bench_ask(struct bench *bench, const char *verb, json_t *body,
               void (*then)(struct bench *bench, const json_t *answer));

/* Lays aside what is in hand; what can be undone stays. */
void bench_lay_aside(struct bench *bench);
void bench_forget_question(struct bench *bench);
void bench_did(struct bench *bench, enum bench_deed deed, const char *kit, const char *subject,
               const char *what, const json_t *quantity);

/* Stores. */
void kits_scan(struct bench *bench, const char *code);        /* a kit's label */
void kits_place(struct bench *bench, const char *text);       /* a bin or part of the walk, by code or name */
bool kits_names(const struct bench *bench, const char *text); /* whether it is one */
void kits_piece(struct bench *bench, const char *code);
void kits_short(struct bench *bench); /* the word */
void kits_found(struct bench *bench); /* bench->number lie there */
void kits_pack(struct bench *bench);
void kits_undo(struct bench *bench);
void kits_look(struct bench *bench);                /* the walk anew; what was said stays */
const json_t *kits_stop(const struct bench *bench); /* the next one of the walk, NULL for none */
bool kits_ready(const json_t *kit);                 /* all picked and matched */
/* The first piece that is not with its kit, and that kit; NULL for none. */
const json_t *kits_piece_left(const struct bench *bench, const json_t **kit);

/* Saw and rack. */
void saw_scan(struct bench *bench, const char *code); /* a bar or an offcut */
void saw_measured(struct bench *bench);               /* bench->number is left of the bar */
void saw_ask_again(struct bench *bench);              /* the measure is far from the plan */
void saw_cut(struct bench *bench);                    /* as planned */
void saw_piece(struct bench *bench, const char *code);
void saw_spoiled(struct bench *bench, const char *code);
void saw_recut(struct bench *bench);
void rack_write_off(struct bench *bench, const char *reason); /* asks back first */
void rack_gone(struct bench *bench);
void rack_look(struct bench *bench, const char *code);
void parcel_scan(struct bench *bench, const char *code);

#endif
