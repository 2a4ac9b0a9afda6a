-- Shuts a key out of workshop $1: $2 {"name"}; $3 is the key that asks. The last manager cannot be shut out, nor can a key
-- shut out itself.
with every as materialized (
    select * from client_key where workshop = $1::integer order by id for update
), checked as (
    select every.id from every
    where every.name = $2::jsonb ->> 'name' and case
        when every.name = $3 then refuse('own-key', 'name', 'A key cannot disable itself; use another manager''s.') is not null
        when not exists (select from every other
                         where other.enabled and 'manager' = any(other.roles) and other.id <> every.id)
            then refuse('last-manager', 'name', 'This is the last key of a manager; add another first.') is not null
        else true end
)
update client_key set enabled = false from checked where client_key.id = checked.id
returning jsonb_build_object('name', name, 'enabled', enabled)
