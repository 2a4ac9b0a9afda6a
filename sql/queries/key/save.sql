-- Lets the key named $2 with the public half $3 (Z85) into workshop $1 with the roles $4 (parted by commas); a key of that
-- name is replaced.
insert into client_key (workshop, name, public_key, roles)
values ($1::integer, $2, $3, string_to_array($4, ','))
on conflict (workshop, name) do update
    set public_key = excluded.public_key, roles = excluded.roles, enabled = true
returning name
