-- A kit $1 that was complete and from which something was put back is being picked again. -> whether that is new
with changed as (
    update kit set state = 'picking' where id = $1::bigint and state = 'complete' returning id
)
select to_jsonb(count(*) > 0) from changed
