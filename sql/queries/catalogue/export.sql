-- The catalogue as the document it was loaded from.
-- $1 workshop
select jsonb_build_object(
    'finishes', (select coalesce(jsonb_agg(data order by position), '[]') from finish where workshop = $1),
    'parts', (select coalesce(jsonb_agg(data order by position), '[]') from part where workshop = $1 and current),
    'systems', (select coalesce(jsonb_agg(data order by position), '[]') from track_system where workshop = $1),
    'saws', (select coalesce(jsonb_agg(data order by position), '[]') from saw where workshop = $1),
    'label_stocks', (select coalesce(jsonb_agg(data order by position), '[]') from label_stock where workshop = $1))
