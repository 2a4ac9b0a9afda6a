-- As before (migrations 0150 and 0001), several times as quick: a plan of six hundred pieces spells a thousand codes and takes
-- twelve hundred steps when it is released.
set local search_path = ellwand;

-- ISO/IEC 7064, MOD 37-2, letter by letter; also for codes with letters of an issue.
create function spelled_by_letter(kind text, id bigint, issue integer) returns text language plpgsql immutable strict parallel safe as
$$
declare
    body text := kind || id;
    letters constant text := '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*';
    rest integer := 0;
begin
    if issue > 0 then
        body := body || ellwand.issue_letters(issue);
    end if;
    for place in 1 .. length(body) loop
        rest := (rest + strpos(letters, substr(body, place, 1)) - 1) * 2 % 37;
    end loop;
    return body || substr(letters, (38 - rest) % 37 + 1, 1);
end
$$;

-- The same in one expression for a letter and a number below 10^12. Digit k of a number n (0: the last) is
-- n/10^k - 10 (n/10^(k+1)) in whole divisions and weighs 2^(k+1); summed up that is 2 n - 16 (n/10 + 2 (n/100) + 4 (n/1000) + ..).
create or replace function spelled_code(kind text, id bigint, issue integer) returns text language sql immutable parallel safe as
$$
    select case
        when issue > 0 or id >= 1000000000000 then ellwand.spelled_by_letter(kind, id, issue)
        when issue = 0 then
            kind || id::text || substr('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*', 1 + ((38 - (
                ((strpos('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ', kind) - 1)::bigint << (length(id::text) + 1))
                + 2 * id - 16 * (id / 10 + 2 * (id / 100) + 4 * (id / 1000) + 8 * (id / 10000) + 16 * (id / 100000)
                                 + 32 * (id / 1000000) + 64 * (id / 10000000) + 128 * (id / 100000000)
                                 + 256 * (id / 1000000000) + 512 * (id / 10000000000) + 1024 * (id / 100000000000))
                ) % 37) % 37)::integer, 1)
        end
$$;

-- The step and its row of history in one statement.
create or replace function step_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp
    set plan_cache_mode = force_generic_plan as
$$
declare
    before_state text := '';
begin
    if tg_op = 'UPDATE' then
        before_state := old.state;
        if before_state = new.state then
            return new;
        end if;
    end if;
    insert into history (workshop, kind, subject, from_state, to_state, key_name, request_id, reason)
    select new.workshop, kind, new.id, from_state, to_state, told('key'), told('request'), told('reason')
    from allowed_step
    where kind = tg_argv[0] and from_state = before_state and to_state = new.state;
    if not found then
        perform refuse('step-not-allowed', tg_argv[0] || ' ' || new.id,
                       format('A %s that is %s cannot become %s.', tg_argv[0],
                              case before_state when '' then 'new' else before_state end, new.state));
    end if;
    return new;
end
$$;
