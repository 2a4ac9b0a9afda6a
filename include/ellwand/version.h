/* The version, and what may change from one to the next.
 *
 * The library's file is libellwand-client.so.N. N goes up whenever a program that was built against an earlier one could
 * not go on with a later one: a function goes away or takes something else, a struct changes its size, a number its
 * meaning. Under one N there may be more functions, more values of `enum ell_failure` at its end, more error codes and
 * more fields in JSON answers; a program takes a failure, a code or a field that it does not know as "something else".
 * `struct ell_client` is the library's own and may change at any time.
 *
 * What goes over the wire has a version of its own (ELL_PROTOCOL): any library that speaks it serves any daemon that does.
 * SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_VERSION_H
#define ELLWAND_VERSION_H

/* Of these headers. The build, the packages, --version and the manual take it from here. */
#define ELL_VERSION_MAJOR 0
#define ELL_VERSION_MINOR 1
#define ELL_VERSION_PATCH 0
#define ELL_VERSION "0.1.0"

/* Marks what the library gives to others; nothing else can be linked. */
#define ELL_API __attribute__((visibility("default")))

#ifdef __cplusplus
extern "C" {
#endif

/* Of the library that the program runs with: "0.1.0". Stays the library's. */
ELL_API const char *ell_version(void);

#ifdef __cplusplus
}
#endif

#endif
