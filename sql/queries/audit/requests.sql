-- Invariant 4: every request of workshop $1 that was begun has its answer, and whatever a key changed names a request
-- that is there (planner and printer are the daemon's own threads). -> {"checked": requests, "findings": [{subject, message}]}
with finding as (
    select format('request %s of %s', request_id, key_name) as subject, format('%s was begun but has no answer.', verb) as message
    from request_log where workshop = $1::integer and reply is null
    union all
    select format('request %s of %s', history.request_id, history.key_name),
           format('It changed %s %s, but was never answered.', min(history.kind), min(history.subject))
    from history
    where history.workshop = $1::integer and history.key_name not in ('planner', 'printer', '')
      and not exists (select from request_log where request_log.workshop = history.workshop
                                                and request_log.key_name = history.key_name and request_log.request_id = history.request_id)
    group by history.request_id, history.key_name
    union all
    select format('request %s of %s', ledger.request_id, ledger.key_name), 'It changed stock, but was never answered.'
    from ledger join stock on stock.id = ledger.stock
    where stock.workshop = $1::integer and ledger.key_name not in ('planner', 'printer', '')
      and not exists (select from request_log where request_log.workshop = stock.workshop
                                                and request_log.key_name = ledger.key_name and request_log.request_id = ledger.request_id)
    group by ledger.request_id, ledger.key_name
)
select jsonb_build_object('checked', (select count(*) from request_log where workshop = $1::integer),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
