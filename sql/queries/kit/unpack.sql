-- Opens the packed kit $1 again. -> true; refuses one that is not packed
with checked as materialized (
    select id from kit
    where id = $1::bigint and case
        when state <> 'packed' then refuse('kit-' || state, 'kit', format('This kit is %s, not packed.', state)) is not null
        else true end
), changed as (
    update kit set state = 'complete' from checked where kit.id = checked.id returning kit.id
)
select to_jsonb(count(*) > 0) from changed
