-- An order may change: what it says of itself, and its windows. A window that is measured again, or is no longer wanted, is moved to an
-- order of its own, which is then cancelled as any other is. So nothing that was cut, picked or printed for it is lost from the books,
-- and whatever asks for an order's windows finds those that are wanted.
set local search_path = ellwand;

alter table job_order add column earlier_of bigint references job_order, add constraint earlier_of_another check (earlier_of <> id);
create index job_order_earlier on job_order (earlier_of) where earlier_of is not null;

-- What a change said: {"due": ["2026-12-04", "2026-12-11"], .., "replaced": [..], "added": [..], "dropped": [..], "earlier": number}
create table order_change (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    job_order  bigint not null references job_order,
    at         timestamptz not null default now(),
    key_name   text not null default told('key'),
    request_id text not null default told('request'),
    reason     text not null default told('reason'),
    what       jsonb not null check (jsonb_typeof(what) = 'object')
);
create index order_change_of on order_change (job_order, id);
create trigger keep_forever before update or delete on order_change for each row execute function keep_forever();
create trigger keep_forever_all before truncate on order_change for each statement execute function keep_forever();

-- A window only ever moves to an order that was made of its own one, and nothing of it lies in a closed parcel.
create function window_moved_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    here text;
begin
    if not exists (select from job_order where id = new.job_order and earlier_of = old.job_order and state = 'taken') then
        perform refuse('conflict', 'window', 'A window stays in its order, but for what a change of that order gives up.');
    end if;
    select string_agg(distinct scan_code('C', parcel.id), ', ') into here
    from parcel join parcel_thing on parcel_thing.parcel = parcel.id
    where parcel.state <> 'opened'
      and (parcel_thing.kit in (select id from kit where job_window = new.id)
           or parcel_thing.piece in (select id from piece where job_window = new.id));
    if here is not null then
        perform refuse('parcels-closed', 'window', format('Window %s lies in parcels that are closed or gone: %s.', new.name, here));
    end if;
    return new;
end
$$;
create trigger window_moved_guard before update of job_order on job_window
    for each row when (new.job_order <> old.job_order) execute function window_moved_guard();

grant select on order_change to ellwand_daemon;
grant insert (workshop, job_order, what) on order_change to ellwand_daemon;
grant update (customer, due, priority, notes, unit) on job_order to ellwand_daemon;
grant update (job_order) on job_window to ellwand_daemon;
