-- Locks the parts that the lines of the body $2 name, with their substitutes, in the order of their ids (see reservation/lock), for workshop $1.
-- -> [part id, ..]; refuses an unknown part or bin and says which line names it
with line as materialized (
    select need_part($1::integer, item ->> 'part', format('lines[%s].part', place - 1)) as part,
           need_bin($1::integer, coalesce(item ->> 'bin', item ->> 'from'), format('lines[%s].bin', place - 1)) as bin
    from jsonb_array_elements($2::jsonb -> 'lines') with ordinality as list (item, place)
)
select hold_parts(array(select part from line))
