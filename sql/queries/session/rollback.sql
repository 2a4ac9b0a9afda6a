-- Ends a transaction and forgets what it did.
rollback;
