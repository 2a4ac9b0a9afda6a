-- Holding parts, and reading what was typed or scanned, each as one function, and plans that functions keep: every change in the
-- stores begins with them, and goes through a dozen triggers.
set local search_path = ellwand;

-- Locks parts and their substitutes in the order of their ids and counts up their turn (migration 0060). -> [part id, ..]
create function hold_parts(parts bigint[]) returns jsonb language plpgsql as
$$
declare
    held bigint[];
begin
    select array_agg(locked.id) into held
    from (select id from part where id = any (array(select * from with_substitutes(parts))) order by id for no key update) locked;
    update part set turn = turn + 1 where id = any (held);
    return coalesce(to_jsonb(held), '[]');
end
$$;

-- As before (migration 0120); what begins with another letter is no code of that kind, and most of what is asked for is a number.
create or replace function scanned(kind text, given text) returns bigint language plpgsql stable strict as
$$
declare
    parts record;
begin
    if upper(left(ltrim(given), 1)) <> kind then
        return null;
    end if;
    select * into parts from code_parts(given);
    if parts.kind is distinct from scanned.kind then
        return null;
    end if;
    perform refuse_void(given, upper(trim(given)));
    return parts.id;
end
$$;

-- What triggers ask, they ask by key, so that one plan is as good for every row; else a new one is made for most, which takes longer
-- than its statement.
do $$
declare
    kept regprocedure;
begin
    for kept in
        select pg_proc.oid from pg_proc join pg_language on pg_language.oid = prolang
        where pronamespace = 'ellwand'::regnamespace and lanname = 'plpgsql'
          and (prorettype = 'trigger'::regtype
               or proname in ('hold_parts', 'reserved_guard', 'reserve_reels', 'reserve_batches', 'refuse_void',
                              'need_part', 'need_bin', 'need_kit'))
    loop
        execute format('alter function %s set plan_cache_mode = force_generic_plan', kept);
    end loop;
end
$$;
