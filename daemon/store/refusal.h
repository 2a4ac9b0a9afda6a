/* From what the database refused to what a person is told. Pure. SPDX-License-Identifier: Apache-2.0 */
#ifndef ELLWAND_STORE_REFUSAL_H
#define ELLWAND_STORE_REFUSAL_H

#include "common/fault.h"

/* The fields of a PostgreSQL error report (its manual, "Error and Notice Message Fields"); each may be NULL.
 */
struct refusal {
    const char *state; /* SQLSTATE */
    const char *message, *detail, *hint, *constraint;
    const char *statement; /* name of the query */
};

enum refusal_verdict {
    REFUSAL_FINAL, /* the same request will be refused again */
    REFUSAL_AGAIN, /* the transaction may pass when repeated */
    REFUSAL_STALE, /* the same, on another connection: this one remembers what is no longer so */
    REFUSAL_LOST,  /* the connection is of no more use */
};

/* Fills `fault` as store.h lists the codes. Without a state: "store-unavailable". */
enum refusal_verdict refusal_explain(const struct refusal *refusal, struct fault *fault);

#endif
