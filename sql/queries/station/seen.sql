-- Notes how the station $2 of workshop $1 answered just now: $3 in plain words, "" when all is well.
update station set message = $3, seen_at = now() where workshop = $1::integer and code = $2
