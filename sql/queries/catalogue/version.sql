-- The newest version of the catalogue of workshop $1; no row when none was loaded yet.
select version from catalogue_version where workshop = $1::integer order by version desc limit 1
