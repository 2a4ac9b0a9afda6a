-- Parcels: what of an order goes into which tube or box, by which carrier. They are made when the order is packed and opened
-- again with it; each goes off by its own scan, and the order when the last has gone.
set local search_path = ellwand;

insert into allowed_step (kind, from_state, to_state) values
    ('parcel', '', 'packed'), ('parcel', 'packed', 'sent'), ('parcel', 'packed', 'opened');

create table parcel (
    id        bigint generated always as identity primary key,
    workshop  integer not null references workshop,
    job_order bigint not null references job_order,
    number    integer not null check (number > 0),
    of        integer not null check (of >= number),
    carrier   text not null default '',  -- '': carried by ourselves, as is what no tube or box takes
    wrap      text not null default '',
    wrap_name text not null default '',
    mass      bigint not null check (mass >= 0),  -- g, with the wrap; of what was weighed in the catalogue
    outside   bigint not null default 0 check (outside >= 0),  -- the longest side
    girth     bigint not null default 0 check (girth >= 0),
    state     text not null,
    check ((carrier = '') = (wrap = ''))
);
create unique index parcel_number on parcel (job_order, number) where state <> 'opened';
create trigger step_guard before insert or update on parcel for each row execute function step_guard('parcel');

-- What lies in it; taken out again when it is opened.
create table parcel_thing (
    parcel bigint not null references parcel,
    piece  bigint unique references piece,
    kit    bigint unique references kit,
    check (num_nonnulls(piece, kit) = 1)
);
create index parcel_thing_parcel on parcel_thing (parcel);

-- Labels of parcels were once of orders: a parcel never has the number of one of those.
select setval(pg_get_serial_sequence('ellwand.parcel', 'id'), max(subject))
from label where kind = 'parcel' having max(subject) is not null;

-- An order goes when its parcels have gone; none of them before it is packed, or while it is held.
create function parcel_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    order_state text := (select state from job_order where id = new.job_order);
begin
    if new.state in ('packed', 'sent') and order_state <> 'packed' then
        perform refuse('not-packed', 'parcel', format('Its order is %s, not packed.', order_state));
    end if;
    if tg_op = 'UPDATE' and new.state = 'sent' and not exists (select from parcel_thing where parcel = new.id) then
        perform refuse('conflict', 'parcel', 'There is nothing in this parcel.');
    end if;
    return new;
end
$$;
create trigger parcel_guard before insert or update on parcel for each row execute function parcel_guard();

create function parcel_thing_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    line parcel_thing := case tg_op when 'DELETE' then old else new end;
    above parcel;
begin
    select * into above from parcel where id = line.parcel;
    if above.state = 'sent' then
        perform refuse('parcel-sent', 'parcel', 'This parcel is on its way; nothing goes in or out.');
    end if;
    if tg_op <> 'DELETE' and not exists (
        select from job_window left join piece on piece.job_window = job_window.id left join kit on kit.job_window = job_window.id
        where job_window.job_order = above.job_order and (piece.id = line.piece or kit.id = line.kit)) then
        perform refuse('conflict', 'parcel', 'This is of another order.');
    end if;
    return line;
end
$$;
create trigger parcel_thing_guard before insert or update or delete on parcel_thing
    for each row execute function parcel_thing_guard();

create function order_sent_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    here text;
begin
    if new.state = 'dispatched' and old.state <> 'dispatched' then
        select string_agg(scan_code('C', id), ', ' order by number) into here from parcel
        where job_order = new.id and state = 'packed';
        if here is not null then
            perform refuse('parcels-here', 'order', format('These parcels have not gone yet: %s.', here));
        end if;
    end if;
    if new.state = 'taken' and old.state = 'packed' or new.state = 'cancelled' and old.state <> 'cancelled' then
        select string_agg(scan_code('C', id), ', ' order by number) into here from parcel
        where job_order = new.id and state <> 'opened';
        if here is not null then
            perform refuse('parcels-closed', 'order', format('These parcels are closed or gone: %s.', here));
        end if;
    end if;
    return new;
end
$$;
create trigger order_sent_guard before update on job_order for each row execute function order_sent_guard();

grant select on parcel, parcel_thing to ellwand_daemon;
grant insert (workshop, job_order, number, of, carrier, wrap, wrap_name, mass, outside, girth, state), update (state) on parcel to ellwand_daemon;
grant insert (parcel, piece, kit), delete on parcel_thing to ellwand_daemon;

-- How things, [{piece | kit}, ..], are called on a packing list: [{name, quantity, note}, ..]
create function parcel_contents(things jsonb) returns jsonb language sql stable as
$$
    select coalesce(jsonb_agg(jsonb_build_object('name', name, 'quantity', 1, 'note', note) order by position, rank, number), '[]')
    from (select job_window.position, 1 as rank, piece.number,
                 concat_ws(' ', job_window.name, nullif(job_window.room, '')) || ': track'
                     || case when piece.of > 1 then format(', %s, %s of %s', piece.side, piece.number, piece.of) else '' end as name,
                 format('%s mm %s %s  %s', mm(piece.length), piece.system, piece.finish, scan_code('P', piece.id)) as note
          from jsonb_to_recordset(things) as thing (piece bigint, kit bigint)
          join piece on piece.id = thing.piece
          join job_window on job_window.id = piece.job_window
          union all
          select job_window.position, 2, 0, concat_ws(' ', job_window.name, nullif(job_window.room, '')) || ': kit of parts',
                 format('%s  %s parts', scan_code('K', kit.id), (select count(*) from kit_line where kit_line.kit = kit.id))
          from jsonb_to_recordset(things) as thing (piece bigint, kit bigint)
          join kit on kit.id = thing.kit
          join job_window on job_window.id = kit.job_window) as listed
$$;
