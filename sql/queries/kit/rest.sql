-- A kit $1 out of which everything was put back is waiting again. -> whether that is new
with changed as (
    update kit set state = 'waiting'
    where id = $1::bigint and state = 'picking'
      and not exists (select from kit_line where kit_line.kit = kit.id and picked > 0)
    returning id
)
select to_jsonb(count(*) > 0) from changed
