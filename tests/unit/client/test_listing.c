/* Which commands there are, and which somebody may have meant. SPDX-License-Identifier: Apache-2.0 */
#include "listing.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

Test(listing, two_words_come_before_one) {
    int words = 0;
    cr_assert_str_eq(listing_find("kit", "pick", &words)->name, "kit pick");
    cr_assert_eq(words, 2);
    cr_assert_str_eq(listing_find("scan", "K3Q", &words)->name, "scan");
    cr_assert_eq(words, 1);
    cr_assert_null(listing_find("kit", "K3Q", &words));
    cr_assert_null(listing_find("kit", NULL, &words));
}

Test(listing, every_command_is_somebodys) {
    static const char *const people[] = {"anyone", "desk", "saw", "stores", "manager", "set-up"};
    size_t listed = 0;
    for (size_t i = 0; i < sizeof people / sizeof people[0]; i++) {
        size_t own = listing_person(NULL, people[i]);
        cr_assert_gt(own, 0, "%s has no command", people[i]);
        listed += own;
    }
    cr_assert_eq(listed, command_count, "%zu of %zu commands are listed", listed, command_count);
    cr_assert_eq(listing_person(NULL, "nobody"), 0);
}

Test(listing, all_names_every_command_and_fits_a_terminal) {
    char *text = NULL;
    size_t size = 0, longest = 0, line = 0;
    FILE *stream = open_memstream(&text, &size);
    listing_all(stream);
    fclose(stream);
    for (const char *at = text; *at != '\0'; at++) {
        line = *at == '\n' ? 0 : line + 1;
        longest = line > longest ? line : longest;
    }
    cr_assert_leq(longest, 78, "a line has %zu columns", longest);
    for (size_t i = 0; i < command_count; i++) {
        const char *last = strrchr(command_table[i]->name, ' ');
        last = last != NULL ? last + 1 : command_table[i]->name;
        cr_assert_not_null(strstr(text, last), "%s is not listed", command_table[i]->name);
    }
    free(text);
}

Test(listing, a_thing_has_its_commands) {
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    size_t count = listing_thing(stream, "rack");
    fclose(stream);
    cr_assert_eq(count, 5);
    cr_assert_not_null(strstr(text, "rack clear-out"));
    free(text);
    cr_assert_eq(listing_thing(NULL, "rac"), 0, "a part of a word is no thing");
    cr_assert_eq(listing_thing(NULL, "scan"), 1);
}

static const char *nearest(const char *first, const char *second) {
    static char near[LISTING_NEAR][LISTING_NAME];
    return listing_near(first, second, near) > 0 ? near[0] : "";
}

Test(listing, a_slip_of_the_fingers_is_understood) {
    cr_assert_str_eq(nearest("scna", "K3Q"), "scan", "swapped");
    cr_assert_str_eq(nearest("kit", "pik"), "kit pick", "left out");
    cr_assert_str_eq(nearest("Kit", "Show"), "kit show", "in capitals");
    cr_assert_str_eq(nearest("ordr", "list"), "order list");
    cr_assert_str_eq(nearest("kits", NULL), "kit", "the thing");
    cr_assert_str_eq(nearest("plan", "cansel"), "plan cancel", "changed");
    cr_assert_str_eq(nearest("zork", NULL), "");
    cr_assert_str_eq(nearest("", NULL), "");
}

Test(listing, any_text_is_taken) {
    char near[LISTING_NEAR][LISTING_NAME], endless[5000];
    memset(endless, 'k', sizeof endless);
    endless[sizeof endless - 1] = '\0';
    cr_assert_eq(listing_near(endless, endless, near), 0);
    cr_assert_leq(listing_near("print", "", near), LISTING_NEAR);
}
