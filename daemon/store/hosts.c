/* SPDX-License-Identifier: Apache-2.0 */
#include "store/hosts.h"

#include <libpq-fe.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

static const char *option(const PQconninfoOption *options, const char *keyword) {
    for (; options != NULL && options->keyword != NULL; options++)
        if (strcmp(options->keyword, keyword) == 0)
            return options->val == NULL ? "" : options->val;
    return "";
}

/* Of a list with commas; an empty text is a list of none. */
static int list_count(const char *list) {
    int count = *list != '\0';
    for (; *list != '\0'; list++)
        count += *list == ',';
    return count;
}

/* Copies the item at `index`, "" when there are fewer. False when it does not fit. */
static bool list_item(const char *list, int index, char *item, size_t size) {
    for (; index > 0 && list != NULL; index--) {
        list = strchr(list, ',');
        list = list == NULL ? NULL : list + 1;
    }
    size_t length = list == NULL ? 0 : strcspn(list, ",");
    if (length >= size)
        return false;
    if (length > 0)
        memcpy(item, list, length);
    item[length] = '\0';
    return true;
}

void hosts_read(const char *conninfo, struct hosts *hosts) {
    char *reason = NULL;
    PQconninfoOption *options = PQconninfoParse(conninfo, &reason);
    const char *host = option(options, "host"), *address = option(options, "hostaddr"),
               *port = option(options, "port");
    int names = list_count(host), addresses = list_count(address), ports = list_count(port);
    int count = names > addresses ? names : addresses;
    bool good = count > 1 && count <= HOSTS_MOST && (names == 0 || names == count) &&
                (addresses == 0 || addresses == count) && (ports <= 1 || ports == count);
    for (int i = 0; good && i < count; i++)
        good = list_item(host, i, hosts->item[i].host, HOST_SIZE) &&
               list_item(address, i, hosts->item[i].address, HOST_SIZE) &&
               list_item(port, ports == 1 ? 0 : i, hosts->item[i].port, sizeof hosts->item[i].port);
    hosts->count = good ? count : 0;
    PQconninfoFree(options);
    PQfreemem(reason);
}
