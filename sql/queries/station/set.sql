-- Makes or changes a station of workshop $1: $2 {"station", "queue" or "folder", "stock", "kinds", "job_labels"?,
-- "part_sheets"?}. Its waiting labels follow it.
with checked as materialized (
    select given.*
    from jsonb_to_record($2::jsonb) as given (station text, queue text, folder text, stock text, kinds text[], job_labels integer,
                                              part_sheets boolean)
    where case
        when not exists (select from label_stock where workshop = $1::integer and code = given.stock)
            then refuse('unknown-label-stock', 'stock', format('There is no label stock %s in the catalogue. There are: %s.', given.stock,
                coalesce((select string_agg(code, ', ' order by position) from label_stock where workshop = $1::integer), 'none'))) is not null
        else true end
)
insert into station (workshop, code, queue, folder, stock, kinds, job_labels, part_sheets)
select $1::integer, station, queue, folder, stock, kinds, coalesce(job_labels, 200), coalesce(part_sheets, false) from checked
on conflict (workshop, code) do update
    set queue = excluded.queue, folder = excluded.folder, stock = excluded.stock, kinds = excluded.kinds,
        job_labels = excluded.job_labels, part_sheets = excluded.part_sheets, first_place = 1, free_place = 1, message = '', seen_at = null
returning jsonb_build_object('station', code, 'queue', queue, 'folder', folder, 'stock', stock, 'kinds', kinds,
                             'job_labels', job_labels, 'part_sheets', part_sheets)
