-- The code of a part of workshop $1 that the document $2 would count in another unit although its stock or kits are
-- already counted in the old one; null when there is none.
select to_jsonb(min(part.code))
from jsonb_array_elements($2::jsonb -> 'parts') given
join part on part.workshop = $1::integer and part.code = given ->> 'code' and part.unit <> given ->> 'unit'
where exists (select from stock where stock.part = part.id) or exists (select from kit_line where kit_line.part = part.id)
