/* SPDX-License-Identifier: Apache-2.0 */
#include "cutting/watch.h"

#include <string.h>
#include <time.h>

double cutting_steady_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

struct cutting_options cutting_options_default(void) {
    return (struct cutting_options){
        .seconds = 10, .memory = (size_t)512 << 20, .seed = 1, .threads = 1, .clock = cutting_steady_clock};
}

void watch_start(struct watch *watch, const struct cutting_options *options) {
    *watch = (struct watch){.options = options, .share = 1};
    if (options->clock != NULL)
        watch->started = options->clock();
    bool timed = options->clock != NULL && options->seconds > 0;
    watch->most = options->work > 0 || timed ? options->work : CUTTING_WORK_DEFAULT;
    watch->progress.phase = "start";
}

double watch_seconds(const struct watch *watch) {
    return watch->options->clock != NULL ? watch->options->clock() - watch->started : 0;
}

void watch_share(struct watch *watch, double share) {
    watch->share = share;
    watch->cut_short = watch->cut_short || watch->over;
    watch->over = watch->ended || watch->memory_over;
}

bool watch_over(struct watch *watch, int64_t work) {
    const struct cutting_options *options = watch->options;
    int64_t before = watch->work >> 12;
    watch->work += work;
    watch->late += watch->ended ? work : 0;
    if (watch->over)
        return true;
    if (options->cancel != NULL && atomic_load_explicit(options->cancel, memory_order_relaxed))
        watch->over = watch->ended = true;
    if (watch->most > 0 && (double)watch->work >= (double)watch->most * watch->share)
        watch->over = watch->work_over = true;
    if (watch->work >> 12 != before && options->clock != NULL && options->seconds > 0 &&
        watch_seconds(watch) >= options->seconds * watch->share)
        watch->over = true;
    return watch->over;
}

bool watch_room(struct watch *watch, size_t bytes) {
    if (watch->options->memory > 0 && bytes > watch->options->memory)
        watch->over = watch->memory_over = true;
    return !watch->memory_over;
}

enum cutting_stop watch_reason(const struct watch *watch) {
    if (!watch->over && !watch->cut_short)
        return CUTTING_STOP_NONE;
    return watch->ended         ? CUTTING_STOP_CANCEL
           : watch->memory_over ? CUTTING_STOP_MEMORY
           : watch->work_over   ? CUTTING_STOP_WORK
                                : CUTTING_STOP_TIME;
}

void watch_tell(struct watch *watch, const char *phase, int64_t best, int64_t bound, bool has_best) {
    watch->progress = (struct cutting_progress){phase, best, bound, has_best, watch_seconds(watch)};
    if (watch->options->progress != NULL &&
        !watch->options->progress(watch->options->progress_data, &watch->progress))
        watch->over = watch->ended = true;
}

void watch_part(const struct watch *watch, int64_t work, struct cutting_options *options,
                struct watch *part) {
    *options = *watch->options;
    options->progress = NULL;
    options->seconds *= watch->share;
    options->work = watch->work + work;
    double most = (double)watch->most * watch->share;
    if (watch->most > 0 && (double)options->work > most)
        options->work = (int64_t)most > 0 ? (int64_t)most : 1;
    *part = *watch;
    part->options = options;
    part->most = options->work;
    part->share = 1;
}

void watch_end_part(struct watch *watch, const struct watch *part) {
    watch->work = part->work;
    watch->late = part->late;
    watch->ended = watch->ended || part->ended;
    watch->over = watch->over || part->ended || part->memory_over;
    watch_over(watch, 0);
}
