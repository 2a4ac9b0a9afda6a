-- Parts in bins, the ledger that every figure comes from, reservations, and kits.
-- Quantities are whole numbers: pieces for parts counted each, tenths of a millimetre for parts sold by length.
set local search_path = ellwand;

create table bin (
    id       bigint generated always as identity primary key,
    workshop integer not null references workshop,
    code     text not null check (length(code) between 1 and 40),
    walk     integer not null,   -- where it comes along the walk through the stores
    unique (workshop, code)
);

create table stock (
    id       bigint generated always as identity primary key,
    workshop integer not null references workshop,
    part     bigint not null references part,
    bin      bigint not null references bin,
    batch    text not null default '',
    on_hand  bigint not null default 0,
    reserved bigint not null default 0,
    unique (part, bin, batch),
    constraint reserved_within_on_hand check (0 <= reserved and reserved <= on_hand)
);

create table kit (
    id        bigint generated always as identity primary key,
    workshop  integer not null references workshop,
    job_window bigint not null unique references job_window,
    corded    boolean not null,
    state     text not null
);
create trigger step_guard before insert or update on kit for each row execute function step_guard('kit');

create table kit_line (
    id       bigint generated always as identity primary key,
    kit      bigint not null references kit,
    position integer not null,
    part     bigint not null references part,
    role     text not null default '',
    wanted   bigint not null check (wanted > 0),
    picked   bigint not null default 0,
    why      text not null default '',
    unique (kit, position),
    unique (kit, part, role),
    constraint picked_within_wanted check (0 <= picked and picked <= wanted)
);

create table reservation (
    id       bigint generated always as identity primary key,
    kit_line bigint not null references kit_line,
    stock    bigint not null references stock,
    quantity bigint not null check (quantity > 0),
    unique (kit_line, stock)
);
create index reservation_stock on reservation (stock);

create table ledger (
    id         bigint generated always as identity primary key,
    stock      bigint not null references stock,
    delta      bigint not null check (delta <> 0),
    kind       text not null check (kind in ('opening', 'receipt', 'pick', 'put-back', 'adjustment', 'move')),
    kit_line   bigint references kit_line,
    at         timestamptz not null default now(),
    key_name   text not null default told('key'),
    request_id text not null default told('request'),
    reason     text not null default told('reason'),
    check ((kind in ('pick', 'put-back')) = (kit_line is not null)),
    check (kind <> 'adjustment' or reason <> '')
);
create index ledger_stock on ledger (stock, id);
create index ledger_kit_line on ledger (kit_line) where kit_line is not null;
create trigger keep_forever before update or delete on ledger for each row execute function keep_forever();
create trigger keep_forever_all before truncate on ledger for each statement execute function keep_forever();

-- On hand and reserved are sums; only these triggers write them, so no statement can make them say otherwise.
create function book_ledger() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    update stock set on_hand = on_hand + new.delta where id = new.stock;
    if new.kit_line is not null then
        update kit_line set picked = picked - new.delta where id = new.kit_line;
    end if;
    return null;
end
$$;
create trigger book after insert on ledger for each row execute function book_ledger();

create function book_reservation() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if tg_op <> 'INSERT' then
        update stock set reserved = reserved - old.quantity where id = old.stock;
    end if;
    if tg_op <> 'DELETE' then
        update stock set reserved = reserved + new.quantity where id = new.stock;
        if (select line.picked + coalesce((select sum(quantity) from reservation where kit_line = line.id), 0) > line.wanted
            from kit_line line where line.id = new.kit_line) then
            perform refuse('over-reserved', 'kit line ' || new.kit_line, 'More would be reserved than the kit needs.');
        end if;
    end if;
    return null;
end
$$;
create trigger book after insert or update or delete on reservation for each row execute function book_reservation();

-- A kit is complete when every line is picked; a corded one never without its tension pulley and that pulley's screws.
create function kit_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    missing text;
begin
    if new.state not in ('complete', 'packed', 'dispatched') or new.state = old.state then
        return new;
    end if;
    if new.corded then
        select string_agg(role, ', ') into missing
        from unnest(array['tension-pulley', 'tension-pulley-screw']) role
        where not exists (select 1 from kit_line where kit = new.id and kit_line.role = role.role and picked = wanted);
        if missing is not null then
            perform refuse('no-tension-pulley', 'kit ' || new.id,
                format('A corded kit cannot leave without its %s. A loose cord loop can strangle a child.', missing));
        end if;
    end if;
    select string_agg(part.name, ', ' order by kit_line.position) into missing
    from kit_line join part on part.id = kit_line.part where kit = new.id and picked < wanted;
    if missing is not null then
        perform refuse('kit-not-complete', 'kit ' || new.id, format('Still to be picked: %s.', missing));
    end if;
    if new.state in ('packed', 'dispatched') and exists (
        select 1 from piece where job_window = new.job_window and state not in ('matched', 'dispatched')) then
        perform refuse('pieces-not-matched', 'kit ' || new.id,
                       'Not every piece of the track is matched with this kit; scan each of them first.');
    end if;
    return new;
end
$$;
create trigger kit_guard before update on kit for each row execute function kit_guard();
