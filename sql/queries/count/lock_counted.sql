-- Locks the stock-takes $2 (an array of ids) of workshop $1, in the order of their ids; refuses one that is not there or not
-- counted. -> how many
with given as (
    select distinct value::bigint as id from jsonb_array_elements_text($2::jsonb)
), locked as materialized (
    select id, state from stock_take where workshop = $1::integer and id in (select id from given) order by id for update
), checked as materialized (
    select given.id
    from given left join locked using (id)
    where case when locked.id is null then refuse('not-found', 'stock_takes', format('There is no stock-take %s.', given.id)) is not null
               when locked.state <> 'counted' then refuse('stock-take-' || locked.state, 'stock_takes', format(
                   'Stock-take %s is %s; only what is counted can be approved.', given.id, locked.state)) is not null
               else true end
)
select to_jsonb(count(*)) from checked
