-- Workshops, keys, answered requests, and the one rule for every change of state.
set local search_path = ellwand;

create table workshop (
    id      integer generated always as identity primary key,
    name    text not null unique check (name ~ '^[a-z][a-z0-9-]{0,39}$'),
    title   text not null check (length(title) between 1 and 120),
    -- what a remainder must be to go back on the rack, its worth, and how many the rack holds (null: any number)
    usable_remainder bigint not null default 6000 check (usable_remainder between 0 and 1000000000),
    remainder_value_percent integer not null default 80 check (remainder_value_percent between 0 and 100),
    rack_places integer check (rack_places >= 0)
);

create table client_key (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    name       text not null check (name ~ '^[A-Za-z0-9][A-Za-z0-9._-]{0,62}$'),
    public_key text not null unique check (length(public_key) = 40),
    roles      text[] not null check (roles <@ array['desk', 'saw', 'stores', 'manager'] and cardinality(roles) > 0),
    enabled    boolean not null default true,
    created_at timestamptz not null default now(),
    unique (workshop, name)
);

-- One row for each answered request that changed something, written in the transaction of the change.
create table request_log (
    workshop   integer not null references workshop,
    key_name   text not null,
    request_id text not null check (length(request_id) between 1 and 64),
    verb       text not null,
    body_hash  text not null,
    reply      jsonb,
    at         timestamptz not null default now(),
    primary key (workshop, key_name, request_id)
);

-- Every step that a state may take. '' is "not there yet". Whatever is not listed is refused, whoever asks.
create table allowed_step (
    kind       text not null,
    from_state text not null,
    to_state   text not null,
    primary key (kind, from_state, to_state)
);

insert into allowed_step (kind, from_state, to_state) values
    ('order', '', 'taken'), ('order', 'taken', 'held'), ('order', 'held', 'taken'), ('order', 'taken', 'cancelled'),
    ('order', 'held', 'cancelled'), ('order', 'taken', 'packed'), ('order', 'packed', 'taken'),
    ('order', 'packed', 'held'), ('order', 'packed', 'cancelled'), ('order', 'packed', 'dispatched'),

    ('piece', '', 'waiting'), ('piece', 'waiting', 'planned'), ('piece', 'planned', 'waiting'),
    ('piece', 'planned', 'released'), ('piece', 'released', 'waiting'), ('piece', 'released', 'cut'),
    ('piece', 'cut', 'matched'), ('piece', 'matched', 'cut'), ('piece', 'cut', 'waiting'),
    ('piece', 'matched', 'dispatched'), ('piece', 'waiting', 'cancelled'), ('piece', 'planned', 'cancelled'),
    ('piece', 'released', 'cancelled'), ('piece', 'cut', 'cancelled'), ('piece', 'matched', 'cancelled'),

    ('kit', '', 'waiting'), ('kit', 'waiting', 'picking'), ('kit', 'picking', 'waiting'),
    ('kit', 'picking', 'complete'), ('kit', 'complete', 'picking'), ('kit', 'complete', 'packed'),
    ('kit', 'packed', 'complete'), ('kit', 'packed', 'dispatched'), ('kit', 'waiting', 'cancelled'),
    ('kit', 'picking', 'cancelled'), ('kit', 'complete', 'cancelled'), ('kit', 'packed', 'cancelled'),

    ('plan', '', 'queued'), ('plan', 'queued', 'solving'), ('plan', 'solving', 'queued'), ('plan', 'solving', 'ready'),
    ('plan', 'solving', 'failed'), ('plan', 'queued', 'dropped'), ('plan', 'solving', 'dropped'),
    ('plan', 'ready', 'released'), ('plan', 'ready', 'dropped'), ('plan', 'released', 'done'),
    ('plan', 'released', 'dropped'),

    ('plan-bar', '', 'planned'), ('plan-bar', 'planned', 'released'), ('plan-bar', 'planned', 'dropped'),
    ('plan-bar', 'released', 'cut'), ('plan-bar', 'released', 'dropped'),

    ('bar', '', 'on-rack'), ('bar', 'on-rack', 'bound'), ('bar', 'bound', 'on-rack'), ('bar', 'bound', 'cut'),
    ('bar', 'on-rack', 'written-off'), ('bar', 'written-off', 'on-rack'),

    ('print', '', 'queued'), ('print', 'queued', 'sending'), ('print', 'sending', 'queued'),
    ('print', 'sending', 'printing'), ('print', 'printing', 'printed'), ('print', 'printing', 'queued'),
    ('print', 'sending', 'held'), ('print', 'printing', 'held'), ('print', 'queued', 'held'),
    ('print', 'held', 'queued'), ('print', 'held', 'printed'), ('print', 'held', 'cancelled'),
    ('print', 'queued', 'cancelled');

-- How each state was reached: who, when, by which request, and why.
create table history (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    kind       text not null,
    subject    bigint not null,
    from_state text not null,
    to_state   text not null,
    at         timestamptz not null default now(),
    key_name   text not null,
    request_id text not null,
    reason     text not null
);
create index history_subject on history (kind, subject, id);

-- What the session says of itself; the daemon sets these for each transaction.
create function told(name text) returns text language sql stable as
$$ select coalesce(current_setting('ellwand.' || name, true), '') $$;

-- Raises one of our own errors: the daemon turns it into {code, message, where}.
create function refuse(code text, place text, message text) returns void language plpgsql as
$$
begin
    raise exception using errcode = 'EW001', message = message, detail = place, hint = code;
end
$$;

-- For every table with a state: only allowed steps, and each leaves a row of history.
create function step_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
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
    if not exists (select 1 from allowed_step
                   where kind = tg_argv[0] and from_state = before_state and to_state = new.state) then
        perform refuse('step-not-allowed', tg_argv[0] || ' ' || new.id,
                       format('A %s that is %s cannot become %s.', tg_argv[0],
                              case before_state when '' then 'new' else before_state end, new.state));
    end if;
    insert into history (workshop, kind, subject, from_state, to_state, key_name, request_id, reason)
    values (new.workshop, tg_argv[0], new.id, before_state, new.state, told('key'), told('request'), told('reason'));
    return new;
end
$$;

-- For tables that only grow.
create function keep_forever() returns trigger language plpgsql as
$$
begin
    raise exception using errcode = 'EW001', message = format('Rows of %s are never changed or deleted; write a counter-entry.', tg_table_name),
        detail = tg_table_name, hint = 'append-only';
end
$$;
create trigger keep_forever before update or delete on history for each row execute function keep_forever();
create trigger keep_forever_all before truncate on history for each statement execute function keep_forever();

-- Lengths leave the database as millimetres: 18745 -> 1874.5, 18300 -> 1830.
create function mm(tenths bigint) returns numeric language sql immutable strict parallel safe as
$$ select trim_scale(tenths::numeric / 10) $$;
create function tenths(mm numeric) returns bigint language sql immutable strict parallel safe as
$$ select (mm * 10)::bigint $$;

-- An event for whoever watches; it leaves when the transaction commits, through whichever daemons listen.
create function announce(workshop_id integer, topic text, body jsonb) returns void language sql as
$$ select pg_notify('ellwand_event', jsonb_build_object('workshop', workshop_id, 'topic', topic, 'at', now(), 'body', body)::text) $$;
