-- Opens the next version of the catalogue of workshop $1 (locked, so that versions come one by one), loaded by key $3,
-- and keeps with it what of the document $2 has no table of its own. -> the version
with own as (
    select id from workshop where id = $1::integer for no key update
)
insert into catalogue_version (workshop, version, key_name, data)
select own.id, coalesce((select max(version) from catalogue_version where workshop = own.id), 0) + 1, $3,
       $2::jsonb - array['finishes', 'parts', 'systems', 'saws', 'label_stocks']
from own
returning to_jsonb(version)
