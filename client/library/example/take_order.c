/* Takes an order from a file, as a web shop would that hands on what its customers measured.
 *
 *     cc take_order.c -o take_order $(pkg-config --cflags --libs ellwand-client)
 *     ./take_order tcp://127.0.0.1:5577 daemon.key.public shop.key A1001.json shop-17
 *
 * The last word is an id of the shop's own for this order: said again after no answer came, it is not taken twice.
 * The key is made by `ellwand key new shop` and let in by a manager: ellwand key add shop shop.key.public --roles desk
 * SPDX-License-Identifier: Apache-2.0 */
#include <ellwand/client.h>
#include <stdio.h>
#include <stdlib.h>

/* The file as text, or NULL. What is larger than the protocol takes is cut off, and then no JSON. */
static char *read_text(const char *path) {
    FILE *file = fopen(path, "r");
    char *text = file != NULL ? malloc(ELL_BODY_MAX + 1) : NULL;
    if (text != NULL)
        text[fread(text, 1, ELL_BODY_MAX, file)] = '\0';
    if (file != NULL)
        fclose(file);
    return text;
}

int main(int count, char *words[]) {
    if (count != 6) {
        fprintf(stderr, "usage: take_order ENDPOINT DAEMON-KEY OWN-KEY ORDER-FILE REQUEST-ID\n");
        return 2;
    }
    struct ell_error error;
    struct ell_key daemon, own;
    struct ell_client *client = NULL;
    char *order = read_text(words[4]), *taken = NULL;
    if (order == NULL) {
        perror(words[4]);
        return 2;
    }
    bool good = ell_key_read(words[2], &daemon, &error) && ell_key_read(words[3], &own, &error);
    struct ell_client_options options = {.endpoint = words[1], .server_key = daemon.public_half, .key = &own};
    good = good && ell_client_open(&options, &client, &error) &&
           ell_client_call(client, "order.take", words[5], order, 0, &taken, &error);
    if (good)
        printf("%s\n", taken);
    else
        fprintf(stderr, "%s: %s (%s)\n", error.where, error.message, error.code);
    free(taken);
    free(order);
    ell_client_close(&client);
    return good ? 0 : 1;
}
