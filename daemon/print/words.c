/* SPDX-License-Identifier: Apache-2.0 */
#include "print/words.h"

#include <string.h>

/* Keywords of RFC 8011 section 5.4.12, PWG 5100.9 and CUPS; the gravest first. */
static const struct {
    const char *keyword;
    bool stops;
    const char *words;
} table[] = {
    {"media-jam", true, "The labels are jammed. Open the printer, clear the path, close it."},
    {"door-open", true, "The printer's door is open. Close it."},
    {"cover-open", true, "The printer's cover is open. Close it."},
    {"interlock-open", true, "The printer is not closed. Close it."},
    {"media-empty", true, "The printer is out of labels. Load a roll."},
    {"media-needed", true, "The printer wants labels. Load the stock that this job asks for."},
    {"input-tray-missing", true, "The paper tray is missing. Put it in."},
    {"marker-supply-empty", true, "Ribbon, ink or toner is used up. Replace it."},
    {"toner-empty", true, "The toner is used up. Replace it."},
    {"output-area-full", true, "The output is full. Take the prints away."},
    {"fuser-over-temp", true, "The printer is too hot. Wait until it has cooled."},
    {"cutter-at-end-of-life", true, "The cutter is worn out. Have it replaced."},
    {"offline", true, "The printer is offline. Switch it on and check its cable or network."},
    {"shutdown", true, "The printer is switched off. Switch it on."},
    {"timed-out", true, "The printer does not answer. Switch it off and on."},
    {"connecting-to-device", false, "CUPS is getting through to the printer."},
    {"cups-missing-filter", true, "A CUPS filter is missing on this machine. Install cups-filters."},
    {"cups-insecure-filter", true,
     "CUPS found a filter with wrong permissions and will not run it. See its error log."},
    {"cups-remote-stopped", true, "The printer's own queue is stopped. Start it there."},
    {"paused", true, "The queue is paused. `cupsenable` starts it again."},
    {"moving-to-paused", true, "The queue is being paused. `cupsenable` starts it again."},
    {"stopped-partly", false, "Part of the printer is stopped."},
    {"media-low", false, "The labels are nearly used up."},
    {"marker-supply-low", false, "Ribbon, ink or toner is nearly used up."},
    {"toner-low", false, "The toner is nearly used up."},
};

bool words_has_reason(const char *reasons, const char *keyword) {
    static const char *const severities[] = {"", "-error", "-warning", "-report"};
    size_t length = strlen(keyword);
    for (const char *at = reasons; at != NULL && *at; at = strchr(at, ',') ? strchr(at, ',') + 1 : NULL) {
        size_t rest = strcspn(at, ",");
        if (rest < length || strncmp(at, keyword, length) != 0)
            continue;
        for (size_t i = 0; i < sizeof severities / sizeof severities[0]; i++)
            if (rest - length == strlen(severities[i]) &&
                strncmp(at + length, severities[i], rest - length) == 0)
                return true;
    }
    return false;
}

const char *words_for_reasons(const char *reasons, bool *stops) {
    *stops = false;
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        if (!words_has_reason(reasons, table[i].keyword))
            continue;
        *stops = table[i].stops;
        return table[i].words;
    }
    return NULL;
}
