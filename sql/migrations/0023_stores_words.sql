-- How the stores name things: by the code a person types or the one a scanner reads; and how they count.
set local search_path = ellwand;

-- The id in a scan code of that kind; null when it is none, or misread.
create function scanned(kind text, given text) returns bigint language sql immutable strict parallel safe as
$$
    select id
    from (select substring(upper(trim(given)) from '^' || kind || '([1-9][0-9]{0,17})[0-9A-Z*]$')::bigint as id) as read
    where scan_code(kind, id) = upper(trim(given))
$$;

create function need_part(workshop_id integer, given text, place text) returns bigint language plpgsql stable as
$$
declare
    found_id bigint := coalesce((select id from part where workshop = workshop_id and code = given),
                                (select id from part where workshop = workshop_id and id = scanned('T', given)));
begin
    if found_id is null then
        perform refuse('unknown-part', place, format('There is no part %s; `ellwand stock list` shows all.', given));
    end if;
    return found_id;
end
$$;

create function need_bin(workshop_id integer, given text, place text) returns bigint language plpgsql stable as
$$
declare
    found_id bigint := coalesce((select id from bin where workshop = workshop_id and code = given),
                                (select id from bin where workshop = workshop_id and id = scanned('L', given)));
begin
    if found_id is null then
        perform refuse('unknown-bin', place, format('There is no bin %s; `ellwand bin set` adds one.', given));
    end if;
    return found_id;
end
$$;

-- A kit by its scan code, or as ORDER/WINDOW.
create function need_kit(workshop_id integer, given text, place text) returns bigint language plpgsql stable as
$$
declare
    found_id bigint := coalesce(
        (select id from kit where workshop = workshop_id and id = scanned('K', given)),
        (select kit.id
         from job_order
         join job_window on job_window.job_order = job_order.id
         join kit on kit.job_window = job_window.id
         where job_order.workshop = workshop_id
           and job_order.number = substring(given from '^(.*)/[^/]*$')
           and job_window.name = substring(given from '([^/]*)$')));
begin
    if found_id is null then
        perform refuse('unknown-kit', place,
                       format('There is no kit %s; scan its label, or name it as ORDER/WINDOW.', given));
    end if;
    return found_id;
end
$$;

create function need_piece(workshop_id integer, given text, place text) returns bigint language plpgsql stable as
$$
declare
    found_id bigint := (select id from piece where workshop = workshop_id and id = scanned('P', given));
begin
    if found_id is null then
        perform refuse('unknown-piece', place, format('%s is not the code of a piece; scan the label on the track.', given));
    end if;
    return found_id;
end
$$;

-- A quantity as people write it (pieces; millimetres for parts sold by length) as the tables count it.
create function counted(unit text, given numeric, place text) returns bigint language plpgsql immutable strict as
$$
declare
    -- rounded, for a number may have come through binary floating point
    units numeric := round(case unit when 'length' then given * 10 else given end, 4);
begin
    if units <> trunc(units) or abs(units) > 1000000000000 then
        perform refuse('out-of-range', place, case unit
            when 'length' then format('%s mm is no length here: at most one decimal, at most 100 000 km.', given)
            else format('%s is no number of pieces: whole numbers only.', given) end);
    end if;
    return units::bigint;
end
$$;

-- And back.
create function shown(unit text, units numeric) returns numeric language sql immutable strict parallel safe as
$$ select case unit when 'length' then trim_scale(units / 10) else units end $$;
create function shown_words(unit text, units numeric) returns text language sql immutable strict parallel safe as
$$ select case unit when 'length' then trim_scale(units / 10) || ' mm' else units::text end $$;
