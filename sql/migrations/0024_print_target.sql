-- A station may be given another printer while one of its jobs is on its way; the job remembers where it was sent.
set local search_path = ellwand;

alter table print_job add column sent_to text;
