/* SPDX-License-Identifier: Apache-2.0 */
#include "desk/print_ended.h"

#include "common/text.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

static void settle(const char *state, const char *words, struct print_outcome *outcome) {
    outcome->state = state;
    outcome->again_ms = 0;
    text_copy(outcome->words, sizeof outcome->words, words);
}

/* How many labels of the attempt are whole when this many of its pages came out. */
static int64_t labels_on(const struct print_attempt *attempt, int pages) {
    int64_t labels = 0;
    size_t index;
    json_t *end;
    json_array_foreach(attempt->page_ends, index, end) labels += json_integer_value(end) <= pages ? 1 : 0;
    return labels < attempt->labels ? labels : attempt->labels;
}

void print_hold(const struct print_attempt *attempt, bool unsure, const char *words,
                struct print_outcome *outcome) {
    int64_t known = attempt->done + outcome->done, all = attempt->done + attempt->labels;
    settle("held", "", outcome);
    outcome->unsure = unsure;
    if (unsure)
        snprintf(outcome->words, sizeof outcome->words,
                 "%.300s Look: %" PRId64 " of %" PRId64 " came out for certain. `ellwand print retry %" PRId64
                 " --from N` prints label N on; without --from all that is left, marked as reprints; `print "
                 "done %" PRId64 "` if all are there.",
                 words, known, all, attempt->job, attempt->job);
    else
        snprintf(outcome->words, sizeof outcome->words,
                 "%.440s `ellwand print retry %" PRId64 "` prints it, `print cancel %" PRId64
                 "` gives it up.",
                 words, attempt->job, attempt->job);
}

/* Goes on with the label after the last one that came out. */
static void resume(const struct print_attempt *attempt, const char *why, struct print_outcome *outcome) {
    char words[400];
    snprintf(words, sizeof words,
             "%.200s %" PRId64 " of %" PRId64 " labels came out; it goes on with the next.", why,
             attempt->done + outcome->done, attempt->done + attempt->labels);
    settle("queued", words, outcome);
}

void print_not_begun(const struct print_attempt *attempt, struct print_outcome *outcome) {
    outcome->cups_job = 0;
    if (attempt->to_cancel)
        settle("cancelled", "given up before it reached the printer", outcome);
    else
        settle("queued",
               attempt->to_move ? "moved before it reached the printer" : "it did not reach the print server",
               outcome);
}

/* A person asked for it back. */
static void end_as_wished(const struct print_attempt *attempt, bool certain, struct print_outcome *outcome) {
    if (attempt->to_cancel) {
        settle("cancelled", "given up; what came out of it before is told by its count", outcome);
    } else if (certain) {
        resume(attempt, "Moved.", outcome);
    } else {
        settle("cancelled", "moved; it is not known how many labels came out", outcome);
        outcome->again_marked = true;
    }
}

static void end_printed(const struct print_status *status, struct print_outcome *outcome) {
    settle("printed",
           status->times_done > 1 ? "Possible duplicates: the print server was restarted and sent it once "
                                    "more. Throw one of each label away."
                                  : "",
           outcome);
}

void print_ended(const struct print_attempt *attempt, const struct print_status *status,
                 struct print_outcome *outcome) {
    bool whole = status->state == PRINT_DONE;
    /* A printer that counts and was not restarted knows what it printed. */
    bool certain = !status->started || (status->pages_done > 0 && status->state != PRINT_UNKNOWN);
    outcome->done = whole ? 0 : certain && status->started ? labels_on(attempt, status->pages_done) : 0;
    outcome->clear_doubt = status->state == PRINT_UNKNOWN;
    bool all = outcome->done > 0 && outcome->done == attempt->labels;
    if (all)
        outcome->done = 0; /* "printed" says it */
    const char *words = status->words[0] != '\0' ? status->words : "The printer gave it up.";
    if (whole || all)
        end_printed(status, outcome);
    else if (attempt->to_cancel || attempt->to_move)
        end_as_wished(attempt, certain, outcome);
    else if (status->state == PRINT_REFUSED && outcome->done > 0)
        resume(attempt, words, outcome);
    else
        print_hold(attempt, !certain, words, outcome);
}
