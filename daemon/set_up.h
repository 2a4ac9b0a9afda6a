/* What is done once, with the rights of the database's owner. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_SET_UP_H
#define ELLWAND_SET_UP_H

#include "common/fault.h"

/* `owner` is a libpq connection string of the role that owns the schema. */

/* Brings the schema up to this program's; says on standard output what it did. */
bool set_up_migrate(const char *owner, struct fault *fault) MUST_CHECK;
/* Makes a workshop, or gives it another title. */
bool set_up_workshop(const char *owner, const char *name, const char *title, struct fault *fault) MUST_CHECK;
/* Lets a client key in: its name, public half (Z85) and roles parted by commas. For the first manager;
 * managers let in the others through the daemon. */
bool set_up_key(const char *owner, const char *workshop, const char *name, const char *public_key,
                const char *roles, struct fault *fault) MUST_CHECK;

#endif
