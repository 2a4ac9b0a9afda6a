-- What workshop $1 still needs and the catalogue document $2 no longer has, in words; null when nothing.
with missing as (
    select distinct format('system %s in %s (pieces of open orders)', piece.system, piece.finish) as what
    from piece
    where piece.workshop = $1::integer and piece.state in ('waiting', 'planned', 'released')
      and not exists (select from jsonb_array_elements($2::jsonb -> 'systems') given
                      where given ->> 'code' = piece.system and given -> 'finishes' ? piece.finish)
    union all
    select format('part %s (kits of open orders)', part.code)
    from part
    where part.workshop = $1::integer and part.current
      and not exists (select from jsonb_array_elements($2::jsonb -> 'parts') given where given ->> 'code' = part.code)
      and exists (select from kit_line join kit on kit.id = kit_line.kit
                  where kit_line.part = part.id and kit_line.picked < kit_line.wanted and kit.state in ('waiting', 'picking'))
    union all
    select format('label stock %s (station %s)', station.stock, station.code)
    from station
    where station.workshop = $1::integer
      and not exists (select from jsonb_array_elements($2::jsonb -> 'label_stocks') given where given ->> 'code' = station.stock)
    union all
    select format('saw %s (plan %s)', plan.saw, plan.id)
    from plan
    where plan.workshop = $1::integer and plan.state in ('queued', 'solving', 'ready', 'released')
      and not exists (select from jsonb_array_elements($2::jsonb -> 'saws') given where given ->> 'code' = plan.saw)
)
select to_jsonb(string_agg(what, '; ' order by what)) from missing
