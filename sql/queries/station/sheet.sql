-- Tells a station of workshop $1 where the next job begins on its sheets of labels: $2 {"station", "place"}; only for the next
-- job, unless the station goes on in part-used sheets. -> {station, place, places}
with checked as materialized (
    select station.code, stock.places, ($2::jsonb ->> 'place')::integer as place
    from station
    join label_stock on label_stock.workshop = station.workshop and label_stock.code = station.stock
    cross join lateral (select (data #>> '{sheet,columns}')::integer * (data #>> '{sheet,rows}')::integer as places) as stock
    where station.workshop = $1::integer and station.code = $2::jsonb ->> 'station' and case
        when stock.places is null then refuse('wrong-stock', 'station',
            'This station has labels one by one, not sheets of them.') is not null
        when ($2::jsonb ->> 'place')::integer > stock.places then refuse('out-of-range', 'place',
            format('The sheet has %s places.', stock.places)) is not null
        else true end
)
update station set first_place = place
from checked where station.workshop = $1::integer and station.code = checked.code
returning jsonb_build_object('station', station.code, 'place', place, 'places', places)
