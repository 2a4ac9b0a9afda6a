-- Changes settings of workshop $1: those of {usable_remainder (tenths), value_percent, rack_places (null: any number)} that
-- $2 has. -> {workshop, usable_remainder, value_percent, rack_places}
update workshop set
    usable_remainder = coalesce(($2::jsonb ->> 'usable_remainder')::bigint, usable_remainder),
    remainder_value_percent = coalesce(($2::jsonb ->> 'value_percent')::integer, remainder_value_percent),
    rack_places = case when $2::jsonb ? 'rack_places' then ($2::jsonb ->> 'rack_places')::integer else rack_places end
where id = $1::integer
returning jsonb_build_object('workshop', name, 'usable_remainder', mm(usable_remainder), 'value_percent', remainder_value_percent,
                             'rack_places', rack_places)
