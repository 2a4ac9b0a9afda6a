-- Stock and reservations of a part change only by whoever holds its row (sql/queries/reservation/lock.sql). A holder also
-- counts up its turn: a serializable transaction that saw the part before another's turn is told to begin again, where a
-- mere lock would let it go on with what it saw.
set local search_path = ellwand;

alter table part add column turn bigint not null default 0;
