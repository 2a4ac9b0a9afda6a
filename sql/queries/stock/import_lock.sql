-- Locks the parts that the lines of $2 name in workshop $1, with their substitutes, in the order of their ids (see
-- reservation/lock); a name that is not known is left to stock/import_changes. -> [part id, ..]
select hold_parts(array(
    select part.id
    from (select distinct item ->> 'part' as name from jsonb_array_elements($2::jsonb -> 'lines') item) as given
    join part on part.workshop = $1::integer and (part.code = given.name or part.id = scanned('T', given.name))))
