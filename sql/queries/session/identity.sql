-- Says for the rest of the transaction on whose behalf it runs. $1: name of the key; $2: request id.
select set_config('ellwand.key', $1, true), set_config('ellwand.request', $2, true);
