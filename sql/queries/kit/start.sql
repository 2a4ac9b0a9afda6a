-- A kit $1 that something goes into is being picked. -> whether that is new
with changed as (
    update kit set state = 'picking' where id = $1::bigint and state = 'waiting' returning id
)
select to_jsonb(count(*) > 0) from changed
