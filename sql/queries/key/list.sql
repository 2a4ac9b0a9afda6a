-- The keys that may come into workshop $1. $2 is not looked at. -> {"keys": [{name, public_key, roles, roles_text, enabled, created_at}]}
select jsonb_build_object('keys', coalesce(jsonb_agg(jsonb_build_object(
    'name', name, 'public_key', public_key, 'roles', roles, 'roles_text', array_to_string(roles, ', '), 'enabled', enabled, 'created_at', created_at) order by name), '[]'))
from client_key
where workshop = $1::integer and $2::jsonb is not null
