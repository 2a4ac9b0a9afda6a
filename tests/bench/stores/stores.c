/* Orders are held and resumed through the desk's own code, without a socket between: a resumed order reserves all its
 * parts, a held one gives them up. reserve.py runs pgbench with the same statements beside it.
 *
 *     stores --database CONNINFO --workshop NAME --key NAME --first N [--clients N] [--orders N] [--seconds S] [--pairs N]
 *
 * Each client has --orders orders of its own, numbered N<first>.. . Ends after --seconds, or after --pairs pairs of each
 * client when that is given, with a JSON line.
 * SPDX-License-Identifier: Apache-2.0 */
#include "desk/desk.h"

#include <argp.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { CLIENTS_MOST = 64 };

struct options {
    const char *database, *workshop, *key;
    long first, clients, orders, pairs;
    double seconds;
};

struct client {
    const struct options *options;
    struct desk *desk;
    long number, done;
    int64_t until;
    pthread_t thread;
};

static int64_t now_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void ask(const struct client *client, const char *verb, long order) {
    char id[64], body[96], *reply = NULL;
    snprintf(id, sizeof id, "bench-%d-%ld-%ld-%s", (int)getpid(), client->number, client->done, verb + 6);
    snprintf(body, sizeof body, "{\"order\":\"N%ld\",\"reason\":\"bench\"}", order);
    struct desk_request request = {.key_name = client->options->key,
                                   .verb = verb,
                                   .request_id = id,
                                   .body = body,
                                   .body_size = strlen(body),
                                   .deadline_ms = now_ms() + 30000};
    if (!desk_answer(client->desk, &request, &reply)) {
        fprintf(stderr, "stores: %s of N%ld: %s\n", verb, order, reply);
        exit(1);
    }
    free(reply);
}

static void *work(void *argument) {
    struct client *client = argument;
    const struct options *options = client->options;
    while (options->pairs > 0 ? client->done < options->pairs : now_ms() < client->until) {
        long order = options->first + client->number * options->orders + client->done % options->orders;
        ask(client, "order.hold", order);
        ask(client, "order.resume", order);
        client->done++;
    }
    return NULL;
}

static void run(const struct options *options) {
    struct client clients[CLIENTS_MOST];
    struct desk_options wanted = {.database = options->database,
                                  .workshop = options->workshop,
                                  .connections = (int)options->clients + 1,
                                  .connect_timeout_ms = 3000,
                                  .statement_timeout_ms = 30000,
                                  .cups_server = ""};
    struct desk *desk = NULL;
    struct fault fault;
    if (!desk_open(&wanted, &desk, &fault)) {
        fprintf(stderr, "stores: %s\n", fault.message);
        exit(1);
    }
    int64_t began = now_ms();
    for (long i = 0; i < options->clients; i++) {
        clients[i] = (struct client){.options = options,
                                     .desk = desk,
                                     .number = i,
                                     .until = began + (int64_t)(options->seconds * 1000)};
        pthread_create(&clients[i].thread, NULL, work, &clients[i]);
    }
    long pairs = 0;
    for (long i = 0; i < options->clients; i++) {
        pthread_join(clients[i].thread, NULL);
        pairs += clients[i].done;
    }
    double seconds = (double)(now_ms() - began) / 1000;
    printf("{\"clients\": %ld, \"pairs\": %ld, \"seconds\": %.3f, \"pairs_a_second\": %.1f}\n",
           options->clients, pairs, seconds, (double)pairs / seconds);
    desk_close(&desk);
}

static error_t read_option(int key, char *text, struct argp_state *state) {
    struct options *options = state->input;
    switch (key) {
    case 'd':
        options->database = text;
        break;
    case 'w':
        options->workshop = text;
        break;
    case 'k':
        options->key = text;
        break;
    case 'f':
        options->first = strtol(text, NULL, 10);
        break;
    case 'c':
        options->clients = strtol(text, NULL, 10);
        break;
    case 'o':
        options->orders = strtol(text, NULL, 10);
        break;
    case 's':
        options->seconds = strtod(text, NULL);
        break;
    case 'p':
        options->pairs = strtol(text, NULL, 10);
        break;
    default:
        return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

int main(int count, char **arguments) {
    static const struct argp_option table[] = {{"database", 'd', "CONNINFO", 0, "The daemon's login", 0},
                                               {"workshop", 'w', "NAME", 0, "Its name", 0},
                                               {"key", 'k', "NAME", 0, "A key with the role desk", 0},
                                               {"first", 'f', "N", 0, "The first order's number", 0},
                                               {"clients", 'c', "N", 0, "At once [1]", 0},
                                               {"orders", 'o', "N", 0, "Orders of each client [40]", 0},
                                               {"seconds", 's', "S", 0, "How long [5]", 0},
                                               {"pairs", 'p', "N", 0, "Stop after so many of each", 0},
                                               {0}};
    static const struct argp argp = {.options = table, .parser = read_option};
    struct options options = {.clients = 1, .orders = 40, .seconds = 5};
    argp_parse(&argp, count, arguments, 0, NULL, &options);
    if (options.database == NULL || options.workshop == NULL || options.key == NULL || options.clients < 1 ||
        options.clients > CLIENTS_MOST || options.orders < 1) {
        fprintf(stderr, "stores: --database, --workshop, --key, and 1 to 64 clients\n");
        return 2;
    }
    run(&options);
    return 0;
}
