-- What may stand in for a part that is short. The line of a kit keeps the part that the take-off asked for; what is reserved
-- and picked for it may lie under another part, if the take-off said so when the order was taken.
set local search_path = ellwand;

-- Pairs that any catalogue ever had; they say what must be locked together (with_substitutes), so none is ever taken out.
create table substitute (
    first   bigint not null references part,
    instead bigint not null references part,
    primary key (first, instead),
    constraint substitute_of_another check (first <> instead)
);
create index substitute_instead on substitute (instead);

-- What may go into a line of a kit instead, in the order in which it is tried.
create table kit_line_substitute (
    kit_line bigint not null references kit_line,
    place    integer not null check (place between 1 and 8),
    part     bigint not null references part,
    primary key (kit_line, place),
    unique (kit_line, part)
);
create trigger keep_forever before update or delete on kit_line_substitute for each row execute function keep_forever();
create trigger keep_forever_all before truncate on kit_line_substitute for each statement execute function keep_forever();

-- The parts that change hands together with these: what they stand in for, and what stands in for any of them.
create function with_substitutes(parts bigint[]) returns setof bigint language sql stable as
$$
    with near as (
        select unnest(parts) as part
        union
        select first from substitute where instead = any (parts)
    )
    select part from near
    union
    select substitute.instead from near join substitute on substitute.first = near.part
$$;

-- Nothing but the part itself or an allowed substitute is set aside for a line, or goes into its kit.
create function part_of_line_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if new.kit_line is not null and not exists (
            select from kit_line line join stock on stock.id = new.stock
            where line.id = new.kit_line
              and (stock.part = line.part
                   or exists (select from kit_line_substitute other where other.kit_line = line.id and other.part = stock.part))) then
        perform refuse('wrong-part', 'kit line ' || new.kit_line,
                       'This is neither the part that the kit wants nor one that may stand in for it.');
    end if;
    return new;
end
$$;
create trigger part_of_line_guard before insert or update on reservation for each row execute function part_of_line_guard();
create trigger part_of_line_guard before insert on ledger for each row when (new.kit_line is not null)
    execute function part_of_line_guard();

grant select on substitute, kit_line_substitute to ellwand_daemon;
grant insert on substitute, kit_line_substitute to ellwand_daemon;

-- How many come in a box of that part, as its catalogue row says.
create function boxed(code text, data jsonb, place text) returns bigint language plpgsql immutable as
$$
begin
    if data ->> 'pack' is null then
        perform refuse('no-pack', place, format('The catalogue does not say how many of %s are in a box ("pack"); give the quantity.', code));
    end if;
    return (data ->> 'pack')::bigint;
end
$$;
