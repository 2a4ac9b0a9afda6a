-- A parcel's label has the parcel's own code since there are parcels (migration 0111), where it had the order's.
set local search_path = ellwand;

create or replace function issue_asked() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into label_issue (letter, subject, asked)
    select letter, new.subject, new.copy
    from (values ('piece', 'P'), ('kit', 'K'), ('offcut', 'F'), ('bar', 'B'), ('bin', 'L'), ('parcel', 'C')) as known (kind, letter)
    where known.kind = new.kind
    on conflict (letter, subject) do update set asked = greatest(label_issue.asked, excluded.asked);
    return null;
end
$$;

-- As before, five times as quick: a page of any list asks for hundreds.
create or replace function spelled_code(kind text, id bigint, issue integer) returns text language plpgsql immutable strict parallel safe as
$$
declare
    body constant text := kind || id || ellwand.issue_letters(issue);
    letters constant text := '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*';
    rest integer := 0;
begin
    for place in 1 .. length(body) loop
        rest := (rest + strpos(letters, substr(body, place, 1)) - 1) * 2 % 37;
    end loop;
    return body || substr(letters, (38 - rest) % 37 + 1, 1);
end
$$;
