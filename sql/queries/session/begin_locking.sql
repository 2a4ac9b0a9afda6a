-- Opens a transaction that locks what it reads before it changes anything: each statement sees what was committed before
-- it, so that after a wait for a lock it sees what the last holder left.
begin isolation level read committed read write;
