-- Opens a transaction that only reads, all of it from one moment.
begin isolation level repeatable read read only;
