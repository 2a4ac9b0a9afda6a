-- As before (migrations 0120 and 0149), several times as quick: letters are asked for only where a label was printed again, and
-- the look whether it was keeps its plan. A page of any list asks for hundreds of codes.
set local search_path = ellwand;

create or replace function spelled_code(kind text, id bigint, issue integer) returns text language plpgsql immutable strict parallel safe as
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

create or replace function scan_code(kind text, id bigint) returns text language plpgsql stable strict parallel safe as
$$
declare
    issue integer;
begin
    select asked into issue from ellwand.label_issue where letter = kind and subject = id;
    return ellwand.spelled_code(kind, id, coalesce(issue, 0));
end
$$;
