-- Where print job $1 is to move to.
select wish_station from print_job where id = $1::bigint
