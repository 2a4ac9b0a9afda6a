/* SPDX-License-Identifier: Apache-2.0 */
#include "reports.h"

#include <string.h>

static const struct column stock_columns[] = {{"code", "code", COLUMN_TEXT},
                                              {"name", "name", COLUMN_TEXT},
                                              {"group", "group", COLUMN_TEXT | COLUMN_MINOR},
                                              {"on hand", "on_hand", COLUMN_LENGTH},
                                              {"reserved", "reserved", COLUMN_LENGTH},
                                              {"price", "price", COLUMN_MONEY | COLUMN_MINOR},
                                              {"value", "value", COLUMN_MONEY}};
static const struct column stock_totals[] = {{"lines", "lines", COLUMN_NUMBER},
                                             {"parts", "parts_value", COLUMN_MONEY},
                                             {"bars", "bars_value", COLUMN_MONEY},
                                             {"offcuts", "offcuts_value", COLUMN_MONEY},
                                             {"value in all", "value", COLUMN_MONEY}};
static const struct column rack_columns[] = {
    {"system", "system", COLUMN_TEXT},   {"finish", "finish", COLUMN_TEXT},
    {"kind", "kind", COLUMN_TEXT},       {"batch", "batch", COLUMN_TEXT},
    {"count", "count", COLUMN_NUMBER},   {"in plans", "bound", COLUMN_NUMBER | COLUMN_MINOR},
    {"length", "length", COLUMN_LENGTH}, {"value", "value", COLUMN_MONEY},
    {"oldest", "oldest", COLUMN_TEXT},   {"mean days", "age_days", COLUMN_NUMBER | COLUMN_MINOR}};
static const struct column rack_totals[] = {
    {"bars", "bars", COLUMN_NUMBER},     {"offcuts", "offcuts", COLUMN_NUMBER | COLUMN_MINOR},
    {"places", "places", COLUMN_NUMBER}, {"free places", "free", COLUMN_NUMBER},
    {"length", "length", COLUMN_LENGTH}, {"value", "value", COLUMN_MONEY}};
static const struct column yield_columns[] = {{"of", "name", COLUMN_TEXT},
                                              {"bars", "bars", COLUMN_NUMBER},
                                              {"offcuts", "offcuts", COLUMN_NUMBER | COLUMN_MINOR},
                                              {"pieces", "pieces", COLUMN_NUMBER},
                                              {"opened", "opened", COLUMN_LENGTH},
                                              {"used", "used", COLUMN_LENGTH},
                                              {"longer by", "correction", COLUMN_LENGTH | COLUMN_MINOR},
                                              {"in pieces", "pieces_length", COLUMN_LENGTH},
                                              {"kerf", "kerf", COLUMN_LENGTH | COLUMN_MINOR},
                                              {"trim", "trim", COLUMN_LENGTH | COLUMN_MINOR},
                                              {"mis-cut", "mis_cut", COLUMN_LENGTH},
                                              {"kept", "kept", COLUMN_LENGTH},
                                              {"scrap", "scrap", COLUMN_LENGTH},
                                              {"cut again", "recut", COLUMN_LENGTH | COLUMN_MINOR},
                                              {"yield", "yield", COLUMN_SHARE},
                                              {"scrap share", "scrap_share", COLUMN_SHARE}};
static const struct column metres_columns[] = {{"system", "system", COLUMN_TEXT},
                                               {"finish", "finish", COLUMN_TEXT},
                                               {"bought", "bought", COLUMN_LENGTH},
                                               {"found", "found", COLUMN_LENGTH},
                                               {"put back", "put_back", COLUMN_LENGTH},
                                               {"longer by", "correction", COLUMN_LENGTH | COLUMN_MINOR},
                                               {"bars", "bars", COLUMN_LENGTH},
                                               {"offcuts", "offcuts", COLUMN_LENGTH},
                                               {"pieces", "pieces", COLUMN_LENGTH},
                                               {"kerf", "kerf", COLUMN_LENGTH | COLUMN_MINOR},
                                               {"trim", "trim", COLUMN_LENGTH | COLUMN_MINOR},
                                               {"mis-cut", "mis_cut", COLUMN_LENGTH},
                                               {"scrap", "scrap", COLUMN_LENGTH},
                                               {"written off", "written_off", COLUMN_LENGTH},
                                               {"difference", "difference", COLUMN_LENGTH}};
static const struct column shortages_columns[] = {
    {"code", "code", COLUMN_TEXT},           {"name", "name", COLUMN_TEXT},
    {"short", "short", COLUMN_LENGTH},       {"first due", "due", COLUMN_TEXT},
    {"orders", "orders", COLUMN_NUMBER},     {"windows", "windows", COLUMN_NUMBER | COLUMN_MINOR},
    {"first held up", "order", COLUMN_TEXT}, {"on order", "on_order", COLUMN_LENGTH},
    {"expected", "expected", COLUMN_TEXT},   {"proposed", "proposed", COLUMN_LENGTH | COLUMN_MINOR}};
static const struct column shortages_totals[] = {{"lines", "lines", COLUMN_NUMBER},
                                                 {"orders held up", "orders", COLUMN_NUMBER}};
static const struct column late_columns[] = {{"order", "order", COLUMN_TEXT},
                                             {"customer", "customer", COLUMN_TEXT},
                                             {"due", "due", COLUMN_TEXT},
                                             {"days late", "days_late", COLUMN_NUMBER},
                                             {"priority", "priority", COLUMN_NUMBER | COLUMN_MINOR},
                                             {"is", "state", COLUMN_TEXT},
                                             {"windows", "windows", COLUMN_NUMBER | COLUMN_MINOR},
                                             {"uncut", "pieces_left", COLUMN_NUMBER},
                                             {"unpacked", "kits_left", COLUMN_NUMBER},
                                             {"short", "short", COLUMN_NUMBER},
                                             {"", "waits", COLUMN_TEXT}};
static const struct column late_totals[] = {{"orders", "orders", COLUMN_NUMBER},
                                            {"late", "late", COLUMN_NUMBER}};
static const struct column dead_columns[] = {{"part", "part", COLUMN_TEXT},
                                             {"name", "name", COLUMN_TEXT},
                                             {"on hand", "on_hand", COLUMN_LENGTH},
                                             {"price", "price", COLUMN_MONEY | COLUMN_MINOR},
                                             {"value", "value", COLUMN_MONEY},
                                             {"last used, week of", "last_used", COLUMN_TEXT},
                                             {"weeks ago", "quiet_weeks", COLUMN_NUMBER}};
static const struct column dead_totals[] = {{"parts", "parts", COLUMN_NUMBER},
                                            {"value", "value", COLUMN_MONEY}};
static const struct column use_columns[] = {{"code", "code", COLUMN_TEXT},
                                            {"name", "name", COLUMN_TEXT},
                                            {"kits", "kits", COLUMN_NUMBER | COLUMN_MINOR},
                                            {"take-off", "told", COLUMN_LENGTH},
                                            {"used", "used", COLUMN_LENGTH},
                                            {"lost", "lost", COLUMN_LENGTH},
                                            {"over", "over", COLUMN_LENGTH},
                                            {"share", "share", COLUMN_SHARE}};

static const struct column projection_columns[] = {{"week of", "week", COLUMN_TEXT},
                                                   {"comes", "coming", COLUMN_LENGTH},
                                                   {"ordered", "ordered", COLUMN_LENGTH},
                                                   {"forecast", "forecast", COLUMN_LENGTH},
                                                   {"stock at its end", "stock", COLUMN_LENGTH}};

#define TABLE(name) name, sizeof(name) / sizeof((name)[0])

const struct report reports[] = {
    {"stock", "report.stock", "What is in stock, and its value", TABLE(stock_columns), TABLE(stock_totals),
     "Nothing is in stock.", draw_stock},
    {"rack", "report.rack", "Bars and offcuts: count, length, value and age", TABLE(rack_columns),
     TABLE(rack_totals), "Nothing lies on the rack.", draw_rack},
    {"yield", "report.yield", "What the saw made of its bars, by week, saw, system or finish",
     TABLE(yield_columns), NULL, 0, "Nothing was cut.", draw_yield},
    {"metres", "report.metres", "Where every metre of track came from and went", TABLE(metres_columns), NULL,
     0, "No track was ever on the rack.", draw_metres},
    {"shortages", "report.shortages", "What open orders lack, and what that holds up",
     TABLE(shortages_columns), TABLE(shortages_totals), "Nothing is short.", draw_shortages},
    {"late", "report.late", "Orders that are late, and what each waits for", TABLE(late_columns),
     TABLE(late_totals), "No order is late.", draw_late},
    {"dead", "report.dead", "Parts in stock that nobody used for long", TABLE(dead_columns),
     TABLE(dead_totals), "Nothing lies there unused.", draw_dead},
    {"use", "report.use", "What was used against what the take-off said", TABLE(use_columns), NULL, 0,
     "Nothing was dispatched.", draw_use},
    {"projection", "report.projection", "The stock of a part or of bars over the weeks to come",
     TABLE(projection_columns), NULL, 0, "", draw_projection},
    {0}};

const struct report *report_named(const char *name) {
    for (const struct report *report = reports; report->name != NULL; report++)
        if (strcmp(report->name, name) == 0)
            return report;
    return NULL;
}
