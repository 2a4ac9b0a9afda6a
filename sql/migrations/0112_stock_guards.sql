-- What moves stock moves it the way its name says; and a row that others refer to stays what it is of.
set local search_path = ellwand;

alter table ledger add constraint ledger_direction check (
    case when undoes is not null then true when kind in ('opening', 'receipt', 'put-back') then delta > 0
         when kind = 'pick' then delta < 0 else true end);

-- A line that something was picked for or is reserved for stays a line of that part; a place stays one of its part.
create function part_stays() returns trigger language plpgsql as
$$
begin
    raise exception using errcode = 'EW001', message = format('A row of %s stays what it is of; make another.', tg_table_name),
        detail = tg_table_name, hint = 'append-only';
end
$$;
create trigger part_stays before update on stock for each row
    when ((new.part, new.bin, new.batch, new.workshop) is distinct from (old.part, old.bin, old.batch, old.workshop)) execute function part_stays();
create trigger part_stays before update on kit_line for each row
    when ((new.part, new.kit) is distinct from (old.part, old.kit) and old.picked > 0) execute function part_stays();
