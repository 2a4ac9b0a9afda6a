-- A movement of stock that was a mistake is undone by a counter-entry that names it. Nothing is ever taken back twice.
set local search_path = ellwand;

alter table ledger add column undoes bigint references ledger;
create unique index ledger_undoes on ledger (undoes) where undoes is not null;

create function undo_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if not exists (select from ledger where id = new.undoes and stock = new.stock and kind = new.kind and delta = -new.delta
                                        and undoes is null and kit_line is null and stock_take is null) then
        perform refuse('cannot-undo', 'entry ' || new.undoes, 'A counter-entry is the same movement backwards, of one that can be undone.');
    end if;
    return new;
end
$$;
create trigger undo_guard before insert on ledger for each row when (new.undoes is not null) execute function undo_guard();
create index ledger_request on ledger (request_id, key_name) where kind = 'move';
