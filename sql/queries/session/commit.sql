-- Ends a transaction and keeps what it did.
commit;
