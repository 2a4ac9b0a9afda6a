-- Takes away a station of workshop $1: $2 {"station"}. Refuses one that has printed or has labels waiting; give such a one
-- no kinds instead.
with checked as materialized (
    select code from station
    where workshop = $1::integer and code = $2::jsonb ->> 'station' and case
        when exists (select from print_job where workshop = $1::integer and print_job.station = station.code)
            then refuse('in-use', 'station', 'Labels were printed here and their history stays. Set it to print no kinds instead.') is not null
        else true end
)
delete from station using checked where station.workshop = $1::integer and station.code = checked.code
returning jsonb_build_object('station', station.code)
