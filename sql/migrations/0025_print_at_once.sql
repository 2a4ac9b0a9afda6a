-- A file in a folder, and a job that is found done after a crash, are printed at once.
set local search_path = ellwand;

insert into allowed_step (kind, from_state, to_state) values ('print', 'sending', 'printed');
