-- What a thing is stays as it was booked; the daemon may only change how it stands. A statement that needs another column
-- brings its right in a migration of its own. (Of workshop it changes nothing: a row is locked through any one column.)
set local search_path = ellwand;

revoke update on bar, job_order, kit, piece, plan, plan_bar, print_job, request_log, reservation, workshop, client_key
    from ellwand_daemon;
grant update (state) on bar to ellwand_daemon;
grant update (state) on job_order to ellwand_daemon;
grant update (state) on kit to ellwand_daemon;
grant update (state, plan_bar, sequence, batch) on piece to ellwand_daemon;
grant update (state, problem, result, failure, leased_by, leased_until, cancel_asked) on plan to ellwand_daemon;
grant update (state, kerfs, remainder, returns, pieces_length, kerf_length, waste, correction, offcut, cut_at) on plan_bar to ellwand_daemon;
grant update (state, cups_job, printed_at, leased_by, leased_until, attempt, message, not_before, sent_to) on print_job to ellwand_daemon;
grant update (reply) on request_log to ellwand_daemon;
grant update (quantity) on reservation to ellwand_daemon;
grant update (rack_places) on workshop to ellwand_daemon;
grant update (public_key, roles, enabled, created_at) on client_key to ellwand_daemon;
