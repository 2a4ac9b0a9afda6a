-- What the daemon may do: just what its statements need. History, ledger and the sums of stock are out of its reach
-- except by insert or through triggers.
set local search_path = ellwand;

do $$
begin
    if not exists (select 1 from pg_roles where rolname = 'ellwand_daemon') then
        create role ellwand_daemon nologin;
    end if;
end
$$;

grant usage on schema ellwand to ellwand_daemon;
grant select on all tables in schema ellwand to ellwand_daemon;

grant insert, update on request_log to ellwand_daemon;
grant insert, update on client_key to ellwand_daemon;
grant update on workshop to ellwand_daemon;

grant insert on catalogue_version to ellwand_daemon;
grant insert, update, delete on finish, track_system, system_finish, bar_length, saw, label_stock to ellwand_daemon;
grant insert, update on part to ellwand_daemon;

grant insert, update on job_order, piece to ellwand_daemon;
grant insert on job_window to ellwand_daemon;

grant insert, update on bar, plan, plan_bar to ellwand_daemon;

grant insert, update on bin to ellwand_daemon;
grant insert (workshop, part, bin, batch) on stock to ellwand_daemon;
grant insert on kit_line, ledger to ellwand_daemon;
grant insert, update on kit to ellwand_daemon;
grant insert, update, delete on reservation to ellwand_daemon;

grant insert, update, delete on station to ellwand_daemon;
grant insert, update on print_job to ellwand_daemon;
grant insert on label to ellwand_daemon;
