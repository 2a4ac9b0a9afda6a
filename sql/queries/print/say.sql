-- What print job $1 says of itself becomes $2.
update print_job set message = $2 where id = $1::bigint
