-- The triggers and functions that were made or replaced since 0161 keep one plan too, for the same reason.
set local search_path = ellwand;

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
