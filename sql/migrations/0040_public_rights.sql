-- What every role of a new database may do by default, the daemon's may not: make temporary tables, or anything in public.
do $$
begin
    execute format('revoke temporary on database %I from public', current_database());
end
$$;
revoke create on schema public from public;
