-- The roles of the enabled key of workshop $1 named $2, parted by blanks.
select array_to_string(roles, ' ') from client_key where workshop = $1::integer and name = $2 and enabled
