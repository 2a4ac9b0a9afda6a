/* The hosts that a connection string lists. libpq tries them in turn but, asked not to block, sets no limit to each, so
 * that one that is silent would keep the next from being tried. Pure. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_HOSTS_H
#define ELLWAND_STORE_HOSTS_H

enum { HOSTS_MOST = 8, HOST_SIZE = 256 };

struct hosts {
    int count; /* 0: one or none, or a list that libpq alone should judge */
    struct {
        char host[HOST_SIZE], address[HOST_SIZE], port[16]; /* "" where not given */
    } item[HOSTS_MOST];
};

/* Reads host, hostaddr and port of `conninfo` (libpq's manual, "Specifying Multiple Hosts"). */
void hosts_read(const char *conninfo, struct hosts *hosts);

#endif
