-- The catalogue goes out as the document that came in. What other tables refer to has rows of its own; the rest of the
-- document (substrates, headings, the workshop's practice, ..) stays with its version.
set local search_path = ellwand;

alter table catalogue_version add column data jsonb not null default '{}' check (jsonb_typeof(data) = 'object');
-- Plans of long ago name their saw, so one that has left the catalogue stays, as a part does.
alter table saw add column current boolean not null default true;

create function catalogue_document(workshop_id integer) returns jsonb language sql stable as
$$
    select coalesce((select data from catalogue_version where workshop = workshop_id order by version desc limit 1), '{}')
        || jsonb_build_object(
            'finishes', (select coalesce(jsonb_agg(data order by position), '[]') from finish where workshop = workshop_id),
            'parts', (select coalesce(jsonb_agg(data order by position), '[]') from part where workshop = workshop_id and current),
            'systems', (select coalesce(jsonb_agg(data order by position), '[]') from track_system where workshop = workshop_id),
            'saws', (select coalesce(jsonb_agg(data order by position), '[]') from saw where workshop = workshop_id and current),
            'label_stocks', (select coalesce(jsonb_agg(data order by position), '[]') from label_stock
                             where workshop = workshop_id))
$$;

-- A catalogue document row by row; what is no list of rows counts as one row without a code.
create function catalogue_rows(document jsonb) returns table (section text, code text, place bigint, data jsonb)
    language sql immutable as
$$
    select section.key, item.value ->> 'code', item.ordinality, item.value
    from jsonb_each(document) section,
         jsonb_array_elements(section.value) with ordinality item
    where jsonb_typeof(section.value) = 'array'
    union all
    select section.key, '', 1, section.value
    from jsonb_each(document) section
    where jsonb_typeof(section.value) <> 'array'
$$;
