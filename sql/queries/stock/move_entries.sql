-- The pairs of ledger entries that move stock between bins: $2 {"lines": [{"part", "from", "to", "batch", "quantity"}]}, in
-- workshop $1. -> [{"stock", "delta", "kind"}, ..]
with line as materialized (
    select place, part.id as part, part.unit,
           need_bin($1::integer, item ->> 'from', format('lines[%s].from', place - 1)) as from_bin,
           need_bin($1::integer, item ->> 'to', format('lines[%s].to', place - 1)) as to_bin,
           coalesce(item ->> 'batch', '') as batch,
           counted(part.unit, (item ->> 'quantity')::numeric, format('lines[%s].quantity', place - 1)) as quantity
    from jsonb_array_elements($2::jsonb -> 'lines') with ordinality as list (item, place)
    cross join lateral (select * from part where part.id = need_part($1::integer, item ->> 'part', '') offset 0) as part
), made as (
    insert into stock (workshop, part, bin, batch)
    select distinct $1::integer, part, to_bin, batch from line
    on conflict (part, bin, batch) do nothing
    returning id, part, bin, batch
), goal as (
    select id, part, bin, batch from made
    union all
    select stock.id, stock.part, stock.bin, stock.batch
    from (select distinct part, to_bin, batch from line) as named
    cross join lateral (select * from stock where (part, bin, batch) = (named.part, named.to_bin, named.batch) offset 0) as stock
), source as (
    select line.*, stock.id as stock, stock.on_hand,
           sum(line.quantity) over (partition by line.part, line.from_bin, line.batch order by place) as upto
    from line
    left join lateral (select * from stock where (part, bin, batch) = (line.part, line.from_bin, line.batch) offset 0) as stock on true
), checked as (
    select * from source
    where case
        when from_bin = to_bin then refuse('same-bin', format('lines[%s].to', place - 1),
                                           'It is there already; name another bin.') is not null
        when upto > coalesce(on_hand, 0) then refuse('not-enough', format('lines[%s].quantity', place - 1),
            format('Only %s are in that bin.', shown_words(unit, coalesce(on_hand, 0)))) is not null
        else true end
)
select coalesce(jsonb_agg(jsonb_build_object('stock', entry.stock, 'delta', entry.delta, 'kind', 'move')
                          order by checked.place, entry.delta), '[]')
from checked
join goal on goal.part = checked.part and goal.bin = checked.to_bin and goal.batch = checked.batch
cross join lateral (values (checked.stock, -checked.quantity), (goal.id, checked.quantity)) as entry (stock, delta)
