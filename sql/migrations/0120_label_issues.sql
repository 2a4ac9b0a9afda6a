-- A label that is printed again gets a code of its own, and the one before it is void: the code then has the number of the
-- reprint in letters before the check character (A the first, Z the 26th, AA the 27th). P1048Q, reprinted: P1048A and its
-- check character. First prints keep their short code, and no number of a thing ever ends with a letter.
set local search_path = ellwand;

-- Of each label that was asked for again: the newest issue asked for, which lists and sheets show, and the newest one that came
-- out, which makes those before it void. Only triggers write here.
create table label_issue (
    letter  text not null,
    subject bigint not null,
    asked   integer not null,
    printed integer not null default 0 check (printed between 0 and asked),
    primary key (letter, subject)
);
grant select on label_issue to ellwand_daemon;

create function issue_asked() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into label_issue (letter, subject, asked)
    select letter, new.subject, new.copy
    from (values ('piece', 'P'), ('kit', 'K'), ('offcut', 'F'), ('bar', 'B'), ('bin', 'L'), ('parcel', 'O')) as known (kind, letter)
    where known.kind = new.kind
    on conflict (letter, subject) do update set asked = greatest(label_issue.asked, excluded.asked);
    return null;
end
$$;
create trigger issue_asked after insert on label for each row when (new.copy > 0) execute function issue_asked();

create function issue_letters(issue integer) returns text language sql immutable strict parallel safe
return case when issue < 1 then '' when issue <= 26 then chr(64 + issue)
            when issue <= 702 then chr(64 + (issue - 1) / 26) || chr(65 + (issue - 1) % 26)
            else chr(64 + (issue - 27) / 676) || chr(65 + (issue - 27) / 26 % 26) || chr(65 + (issue - 1) % 26) end;

create function issue_number(letters text) returns integer language sql immutable strict parallel safe
return case length(letters) when 0 then 0 when 1 then ascii(letters) - 64
            when 2 then (ascii(letters) - 64) * 26 + ascii(substr(letters, 2)) - 64
            else (ascii(letters) - 64) * 676 + (ascii(substr(letters, 2)) - 64) * 26 + ascii(substr(letters, 3)) - 64 end;

-- With the check character of ISO/IEC 7064, MOD 37-2, as the first scan_code had it.
create function spelled_code(kind text, id bigint, issue integer) returns text language sql immutable strict parallel safe as
$$
    with body as (select kind || id || ellwand.issue_letters(issue) as text),
         letter as (select strpos('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*', character) - 1 as value,
                           1::bigint << (length(text) - place + 1)::integer as weight
                    from body, string_to_table(text, null) with ordinality as spelled (character, place))
    select text || substr('0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*',
                          ((38 - (select sum(value * weight) % 37 from letter)) % 37)::integer + 1, 1)
    from body
$$;

-- The code that a thing has now.
create or replace function scan_code(kind text, id bigint) returns text language sql stable strict parallel safe
return spelled_code(kind, id, coalesce((select asked from label_issue where letter = kind and subject = id), 0));

-- What a code says, without asking whether it holds; nulls when it is none, or misread.
create function code_parts(given text, out kind text, out id bigint, out issue integer) language sql immutable strict parallel safe as
$$
    select part[1], part[2]::bigint, ellwand.issue_number(part[3])
    from regexp_match(upper(trim(given)), '^([A-Z])([1-9][0-9]{0,17})([A-Z]{0,3})[0-9A-Z*]$') as found (part)
    where ellwand.spelled_code(part[1], part[2]::bigint, ellwand.issue_number(part[3])) = upper(trim(given))
$$;

-- The code that took the place of a void one; null while the given one holds, and for what is no code.
create function replaced_by(given text) returns text language sql stable strict parallel safe
return (select spelled_code(parts.kind, parts.id, label_issue.printed)
        from code_parts(given) parts join label_issue on letter = parts.kind and subject = parts.id
        where parts.issue < label_issue.printed);

create function refuse_void(given text, place text) returns void language plpgsql stable as
$$
declare
    instead text := replaced_by(given);
begin
    if instead is not null then
        perform refuse('void-label', place,
                       format('The label %s is void: it was printed again as %s. Throw it away and scan the new one.',
                              upper(trim(given)), instead));
    end if;
end
$$;

-- The id in a scan code of that kind; null when it is none, or misread. Refuses a void one.
create or replace function scanned(kind text, given text) returns bigint language plpgsql stable strict as
$$
declare
    parts record;
begin
    select * into parts from code_parts(given);
    if parts.kind is distinct from scanned.kind then
        return null;
    end if;
    perform refuse_void(given, upper(trim(given)));
    return parts.id;
end
$$;
