-- Why this transaction changes what it changes ($1), for the rows of history and ledger.
select set_config('ellwand.reason', $1, true)
