/* The client library: ask an `ellwandd` for things and hear its events, from any C or C++ program.
 *
 *     struct ell_error error;
 *     struct ell_client_options options = {
 *         .endpoint = "tcp://127.0.0.1:5577", .server_key = "...", .key = &key};
 *     struct ell_client *client = NULL;
 *     char *reply = NULL;
 *     if (ell_client_open(&options, &client, &error) &&
 *         ell_client_call(client, "ping", NULL, "{}", 0, &reply, &error))
 *         puts(reply);
 *     free(reply);
 *     ell_client_close(&client);
 *
 * Bodies are JSON text, so no JSON library is forced on anybody. Every function that can fail returns false
 * then, fills `error`, and leaves its outputs as they were. A client belongs to one thread at a time.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_CLIENT_H
#define ELLWAND_CLIENT_H

#include <ellwand/protocol.h>
#include <ellwand/version.h>
#include <stdbool.h>

#ifdef __cplusplus
extern "C" {
#endif

#define ELL_MUST_CHECK __attribute__((warn_unused_result))

enum ell_failure {
    ELL_REFUSED = 1, /* the daemon answered with an error: `code`, `where` and `message` are its own */
    ELL_UNREACHABLE, /* no daemon answers at this endpoint */
    ELL_TIMEOUT,     /* it is there but did not answer in time, or lost its database in the act: whether the
                        request was done is not known; ask again with the same request id */
    ELL_KEY_REFUSED, /* the daemon does not know this key, or `server_key` is not the daemon's */
    ELL_MISUSE,      /* an argument or a file is wrong; nothing was sent */
    ELL_BROKEN       /* no memory, or an answer that is not of this protocol */
};

struct ell_error {
    enum ell_failure failure;
    char code[40];     /* for programs; listed in protocol.md */
    char where[160];   /* place in the input or the workshop, may be "" */
    char message[512]; /* what is wrong and what to do, UTF-8 */
};

/* --- Keys --- */

/* A CURVE key pair and the name it goes by. `secret` is "" when only the public half is known. */
struct ell_key {
    char name[ELL_KEY_NAME_MAX + 1];  /* 1 to 63 letters, digits, '.', '_' and '-' */
    char public_half[ELL_CURVE_TEXT]; /* Z85 */
    char secret[ELL_CURVE_TEXT];
};

/* A new pair, from the random numbers of the system. Its public half never begins with a hyphen. */
ELL_API bool ell_key_make(const char *name, struct ell_key *key, struct ell_error *error) ELL_MUST_CHECK;

/* A key file is text: lines "name NAME", "public Z85", "secret Z85" in any order, the last one absent from a
 * public key file; empty lines and lines that start with '#' mean nothing. A file with a secret that others
 * than its owner may read is refused. */
ELL_API bool ell_key_read(const char *path, struct ell_key *key, struct ell_error *error) ELL_MUST_CHECK;

/* Writes a new file, never over an old one: with the secret, mode 0600, or without it, mode 0644. */
ELL_API bool ell_key_write(const char *path, const struct ell_key *key, bool with_secret,
                           struct ell_error *error) ELL_MUST_CHECK;

/* --- Requests --- */

struct ell_client_options {
    const char *endpoint;   /* "tcp://HOST:PORT", "tcp://[IPV6]:PORT" or "ipc://PATH" */
    const char *server_key; /* the daemon's public key, Z85; NULL only for a daemon without keys (loopback) */
    const struct ell_key *key; /* one's own pair; NULL only where server_key is */
    int timeout_ms;            /* for calls that give none; 0 is 10 s */
};

struct ell_client;

/* Connects in the background: that nobody answers shows in the first call. The options may be forgotten after
 * it. */
ELL_API bool ell_client_open(const struct ell_client_options *options, struct ell_client **client,
                             struct ell_error *error) ELL_MUST_CHECK;
/* Frees all and sets *client to NULL; NULL is taken. */
ELL_API void ell_client_close(struct ell_client **client);

/* Asks and waits. `request_id` is the caller's (1 to 64 letters, digits, '.', '_' and '-') or NULL for a new
 * one; asking again with the same one never does a thing twice, and gives the same answer. `json` is the
 * body, NULL for {}. timeout_ms 0 takes the client's; at most 24 hours.
 *
 * Within the time the request is sent again, under its one id, when the connection was lost and came back,
 * when the daemon is busy, shutting down or lost its database in the act, and when nothing was heard for a
 * third of the time.
 *
 * *reply becomes the result as JSON text, closed by NUL; the caller frees it with free(). */
ELL_API bool ell_client_call(struct ell_client *client, const char *verb, const char *request_id,
                             const char *json, int timeout_ms, char **reply,
                             struct ell_error *error) ELL_MUST_CHECK;

/* The id that the last call went out with: to ask again after ELL_TIMEOUT. Borrowed until the next call. */
ELL_API const char *ell_client_request_id(const struct ell_client *client);

/* --- Events --- */

/* Hears events whose topic starts with `prefix` ("" for all) from now on. May be called again for more. Asks
 * the daemon for the place of its events first, so it can fail like a call. */
ELL_API bool ell_client_subscribe(struct ell_client *client, const char *prefix,
                                  struct ell_error *error) ELL_MUST_CHECK;

/* Waits for the next event. False with ELL_TIMEOUT when none came; *json is freed by the caller. Events that
 * came while the connection was lost are gone: after ELL_TIMEOUT, or when "alive" counts more than were
 * heard, look at the state itself. */
ELL_API bool ell_client_event(struct ell_client *client, int timeout_ms, char topic[ELL_TOPIC_MAX + 1],
                              char **json, struct ell_error *error) ELL_MUST_CHECK;

#ifdef __cplusplus
}
#endif

#endif
