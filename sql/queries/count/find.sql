-- The stock-take that $2 {"stock_take" or "bin" or "place"} means in workshop $1, locked: of a bin or place the one under way.
-- -> {"stock_take": id, "state", "round", "rack": whether it is of the rack}; null when there is none
with named as materialized (
    select case
        when $2::jsonb ? 'stock_take' then ($2::jsonb ->> 'stock_take')::bigint
        when $2::jsonb ? 'bin' then (select id from stock_take where bin = need_bin($1::integer, $2::jsonb ->> 'bin', 'bin')
                                                             and state in ('open', 'counted'))
        else (select id from stock_take where workshop = $1::integer and rack_place = $2::jsonb ->> 'place'
                                          and state in ('open', 'counted')) end as id
)
select jsonb_build_object('stock_take', stock_take.id, 'state', state, 'round', round, 'rack', rack_place is not null)
from stock_take
where workshop = $1::integer and id = (select id from named)
for update
