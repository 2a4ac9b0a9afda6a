-- Lets a new key into workshop $1: $2 {"name", "public_key", "roles"}. Refuses a name or a key that is there already with
-- another half. A name that was disabled may come back with a new key.
with given as materialized (
    select $2::jsonb ->> 'name' as name, $2::jsonb ->> 'public_key' as public_key,
           (select array_agg(distinct role) from jsonb_array_elements_text($2::jsonb -> 'roles') role) as roles
), checked as (
    select * from given
    where case
        when exists (select from client_key where workshop = $1::integer and client_key.name = given.name and enabled)
            then refuse('name-taken', 'name', format('There is a key named %s; disable it first, or choose another name.', name)) is not null
        when exists (select from client_key where client_key.public_key = given.public_key and enabled)
            then refuse('key-taken', 'public_key', 'This public key is in use already; make a new pair with `ellwand key new`.') is not null
        else true end
)
insert into client_key (workshop, name, public_key, roles)
select $1::integer, name, public_key, roles from checked
on conflict (workshop, name) do update
    set public_key = excluded.public_key, roles = excluded.roles, enabled = true, created_at = now()
returning jsonb_build_object('name', name, 'roles', roles)
