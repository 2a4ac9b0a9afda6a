-- Rights that no statement needs any more: a saw that leaves the catalogue stays for old plans.
set local search_path = ellwand;

revoke delete on saw from ellwand_daemon;
revoke update on system_finish from ellwand_daemon;
