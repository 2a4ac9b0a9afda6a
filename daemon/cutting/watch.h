/* When to stop: time, work, memory, a cancel. And telling how far the search is.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CUTTING_WATCH_H
#define ELLWAND_CUTTING_WATCH_H

#include "cutting/cutting.h"

struct watch {
    const struct cutting_options *options;
    double started, asked_last;
    int64_t work; /* steps of search so far; the same for the same input and seed on every machine */
    int64_t most; /* steps at which it ends, before the share; 0: none */
    int64_t late; /* of those, after the caller had ended it */
    double share;
    bool over;                   /* stays true, but for watch_share */
    bool cut_short;              /* a part of the limits ran out before */
    bool ended;                  /* by the caller: cancelled, or progress said so */
    bool memory_over, work_over; /* which limit it was */
    struct cutting_progress progress;
};

void watch_start(struct watch *watch, const struct cutting_options *options);

/* From here on the limits of time and work are this part of those given, 1: whole. Clears `over` where only a part ran
 * out; a cancel and the limit of memory stay. */
void watch_share(struct watch *watch, double share);

/* Adds `work` steps; true when the search has to end. Cheap: the clock is read every few thousand steps only.
 */
bool watch_over(struct watch *watch, int64_t work);

/* Whether so many bytes are within the limit; if not, the search has to end. */
bool watch_room(struct watch *watch, size_t bytes);

/* The limit that ended the search, or a part of it. */
enum cutting_stop watch_reason(const struct watch *watch);

/* A watch of its own for a part of the work: at most `work` steps, the same end otherwise, no progress told. It lasts as
 * long as `options`, which it fills. */
void watch_part(const struct watch *watch, int64_t work, struct cutting_options *options, struct watch *part);
/* Takes the part's work and its end over. */
void watch_end_part(struct watch *watch, const struct watch *part);

/* Seconds since the start; 0 without a clock. */
double watch_seconds(const struct watch *watch);

/* Tells the caller of better figures; ends the search when the caller says so. */
void watch_tell(struct watch *watch, const char *phase, int64_t best, int64_t bound, bool has_best);

#endif
