/* SPDX-License-Identifier: Apache-2.0 */
#include "listing.h"

#include "common/text.h"

#include <string.h>
#include <strings.h>

/* By the word that `ellwand help` takes for them, in the order in which work goes through the house. */
static const struct {
    enum command_group group;
    const char *word, *title;
} people[] = {
    {GROUP_ANYONE, "anyone", "Anyone"},
    {GROUP_DESK, "desk", "Order desk"},
    {GROUP_SAW, "saw", "Saw"},
    {GROUP_STORES, "stores", "Stores"},
    {GROUP_MANAGER, "manager", "The manager"},
    {GROUP_SETUP, "set-up", "Setting up a workshop"},
};

const char *listing_title(enum command_group group) {
    for (size_t p = 0; p < sizeof people / sizeof people[0]; p++)
        if (people[p].group == group)
            return people[p].title;
    return NULL;
}

const struct command *listing_find(const char *first, const char *second, int *words) {
    char both[128];
    snprintf(both, sizeof both, "%s %s", first, second != NULL ? second : "");
    for (*words = 2; *words >= 1; --*words)
        for (size_t i = 0; i < command_count; i++)
            if (strcmp(command_table[i]->name, *words == 2 ? both : first) == 0)
                return command_table[i];
    return NULL;
}

enum { NAME = 18, LINE = 77 };

/* `text` behind what stands in the line already (`used` columns); where it is long it goes on below itself. */
static void flow(FILE *stream, int used, const char *text) {
    for (const char *word = text; *word != '\0';) {
        int length = (int)strcspn(word, " ");
        if (used + 1 + length > LINE)
            used = fprintf(stream, "\n%*s", NAME + 2, "") - 1;
        used += fprintf(stream, " %.*s", length, word);
        word += length + (word[length] == ' ');
    }
    putc('\n', stream);
}

static void list_command(FILE *stream, const struct command *command) {
    flow(stream, fprintf(stream, "  %-*s", NAME, command->name), command->summary);
}

static bool same_thing(const struct command *a, const struct command *b) {
    size_t length = strcspn(a->name, " ");
    return length == strcspn(b->name, " ") && strncmp(a->name, b->name, length) == 0;
}

/* The commands of one thing in one line, "order   cancel, dispatch, ...", when a person has several of them. */
static void list_thing(FILE *stream, size_t at) {
    const struct command *first = command_table[at];
    char words[512] = "";
    size_t found = 0;
    for (size_t i = at; i < command_count; i++) {
        const struct command *other = command_table[i];
        if (other->group != first->group || !same_thing(first, other))
            continue;
        size_t used = strlen(words), length = strcspn(other->name, " ");
        snprintf(words + used, sizeof words - used, "%s%s", found++ > 0 ? ", " : "",
                 other->name[length] == ' ' ? other->name + length + 1 : other->name);
    }
    if (found > 1)
        flow(stream, fprintf(stream, "  %-*.*s", NAME, (int)strcspn(first->name, " "), first->name), words);
    else
        list_command(stream, first);
}

static bool listed_before(size_t at) {
    bool before = false;
    for (size_t i = 0; i < at && !before; i++)
        before = command_table[i]->group == command_table[at]->group &&
                 same_thing(command_table[i], command_table[at]);
    return before;
}

void listing_all(FILE *stream) {
    for (size_t p = 0; p < sizeof people / sizeof people[0]; p++) {
        fprintf(stream, "%s%s:\n", p > 0 ? "\n" : "", people[p].title);
        for (size_t i = 0; i < command_count; i++)
            if (command_table[i]->group == people[p].group && !listed_before(i))
                list_thing(stream, i);
    }
}

size_t listing_thing(FILE *stream, const char *thing) {
    size_t length = strlen(thing), found = 0;
    for (size_t i = 0; i < command_count; i++) {
        const char *name = command_table[i]->name;
        if (strncmp(name, thing, length) != 0 || (name[length] != ' ' && name[length] != '\0'))
            continue;
        if (stream != NULL)
            list_command(stream, command_table[i]);
        found++;
    }
    return found;
}

size_t listing_person(FILE *stream, const char *person) {
    size_t found = 0;
    for (size_t p = 0; p < sizeof people / sizeof people[0]; p++)
        for (size_t i = 0; strcmp(people[p].word, person) == 0 && i < command_count; i++)
            if (command_table[i]->group == people[p].group) {
                if (stream != NULL)
                    list_command(stream, command_table[i]);
                found++;
            }
    return found;
}

/* --- What was meant --- */

enum { SPELLED = 48 };

static int least(int a, int b) {
    return a < b ? a : b;
}

/* How many letters must be put in, left out, changed, or swapped with their neighbour: the optimal string alignment distance.
 * Capitals count as small letters. */
static int distance(const char *typed, const char *name) {
    int rows[3][SPELLED + 1], *before = rows[0], *above = rows[1], *row = rows[2];
    size_t width = strlen(name), height = strlen(typed);
    if (width > SPELLED || height > SPELLED)
        return SPELLED;
    for (size_t j = 0; j <= width; j++)
        above[j] = (int)j;
    for (size_t i = 1; i <= height; i++) {
        row[0] = (int)i;
        for (size_t j = 1; j <= width; j++) {
            bool same = strncasecmp(&typed[i - 1], &name[j - 1], 1) == 0;
            row[j] = least(above[j - 1] + !same, least(above[j], row[j - 1]) + 1);
            if (i > 1 && j > 1 && strncasecmp(&typed[i - 1], &name[j - 2], 1) == 0 &&
                strncasecmp(&typed[i - 2], &name[j - 1], 1) == 0)
                row[j] = least(row[j], before[j - 2] + 1);
        }
        int *free_row = before;
        before = above;
        above = row;
        row = free_row;
    }
    return above[width];
}

/* The nearest so far. */
struct near {
    size_t count;
    int far[LISTING_NEAR];
    char (*names)[LISTING_NAME];
};

static void offer(struct near *near, const char *typed, const char *name) {
    int far = distance(typed, name);
    if (far > (int)strlen(name) / 3 + 1 || far >= (int)strlen(name))
        return;
    for (size_t i = 0; i < near->count; i++)
        if (strcmp(near->names[i], name) == 0)
            return;
    size_t place = near->count;
    while (place > 0 && near->far[place - 1] > far)
        place--;
    if (place == LISTING_NEAR)
        return;
    near->count += near->count < LISTING_NEAR;
    for (size_t i = near->count - 1; i > place; i--) {
        near->far[i] = near->far[i - 1];
        memcpy(near->names[i], near->names[i - 1], LISTING_NAME);
    }
    near->far[place] = far;
    text_copy(near->names[place], LISTING_NAME, name);
}

size_t listing_near(const char *first, const char *second, char names[LISTING_NEAR][LISTING_NAME]) {
    struct near near = {.names = names};
    char both[128], thing[LISTING_NAME];
    snprintf(both, sizeof both, "%.60s %.60s", first, second != NULL ? second : "");
    for (size_t i = 0; i < command_count; i++) {
        const char *name = command_table[i]->name;
        bool two_words = strchr(name, ' ') != NULL;
        offer(&near, two_words ? both : first, name);
        snprintf(thing, sizeof thing, "%.*s", (int)strcspn(name, " "), name);
        if (two_words && second == NULL)
            offer(&near, first, thing);
    }
    while (near.count > 1 && near.far[near.count - 1] > near.far[0] + 1)
        near.count--;
    return near.count;
}

int listing_unknown(const struct program *program, const char *first, const char *second) {
    char near[LISTING_NEAR][LISTING_NAME], typed[128], message[256] = "There is no such command.";
    if (second == NULL && listing_thing(NULL, first) > 0) {
        program_wrong(program, EXIT_USAGE, first, "Say which of these:");
        listing_thing(program->notices.file, first);
        return EXIT_USAGE;
    }
    bool about = listing_thing(NULL, first) > 0;
    snprintf(typed, sizeof typed, "%.60s%s%.60s", first, about ? " " : "", about ? second : "");
    size_t count = listing_near(first, second, near);
    for (size_t i = 0; i < count; i++) {
        size_t used = strlen(message);
        snprintf(message + used, sizeof message - used, "%s%s%s",
                 i == 0          ? " Did you mean "
                 : i + 1 < count ? ", "
                                 : " or ",
                 near[i], i + 1 == count ? "?" : "");
    }
    return program_wrong(program, EXIT_USAGE, typed, "%s All are in: ellwand help%s%s", message,
                         about ? " " : "", about ? first : "");
}
