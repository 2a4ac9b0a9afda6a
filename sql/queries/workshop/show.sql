-- Workshop $1 and its settings; $2 is {}. -> {workshop, title, usable_remainder, value_percent, rack_places, offcuts}
select jsonb_build_object(
    'workshop', name, 'title', title, 'usable_remainder', mm(usable_remainder), 'value_percent', remainder_value_percent,
    'rack_places', rack_places,
    'offcuts', (select count(*) from bar where bar.workshop = workshop.id and kind = 'offcut' and state in ('on-rack', 'bound')))
from workshop where id = $1::integer and $2::jsonb is not null
