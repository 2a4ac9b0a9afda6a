-- A connection that first booked while few places existed kept a plan that reads all of them, for each entry: a first stock list
-- of 20 000 places then took 20 s. By the index it is the same at any size.
set local search_path = ellwand;

alter function book_ledger() set enable_seqscan = off;
