-- Whether $2 more offcuts find a place on the rack of workshop $1: a row if so.
select id from workshop
where id = $1::integer
  and (rack_places is null
       or (select count(*) from bar where bar.workshop = $1::integer and kind = 'offcut' and state in ('on-rack', 'bound'))
          + $2::integer <= rack_places)
