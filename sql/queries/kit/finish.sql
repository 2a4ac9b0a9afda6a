-- A kit $1 with every line picked is complete. -> whether that is new
with changed as (
    update kit set state = 'complete'
    where id = $1::bigint and state = 'picking'
      and not exists (select from kit_line where kit_line.kit = kit.id and picked < wanted)
    returning id
)
select to_jsonb(count(*) > 0) from changed
