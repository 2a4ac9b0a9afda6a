-- What is bought: proposals, orders to suppliers, and what came in against them. A receipt names the row of the ledger, or
-- the bar, that it brought, so what a purchase says was received and what the stores hold cannot come apart.
set local search_path = ellwand;

insert into allowed_step (kind, from_state, to_state) values
    ('purchase', '', 'proposed'), ('purchase', 'proposed', 'ordered'), ('purchase', 'proposed', 'cancelled'),
    ('purchase', 'ordered', 'received'), ('purchase', 'ordered', 'cancelled');

create table purchase (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    supplier   text not null default '' check (length(supplier) <= 40),  -- '': nobody is named yet
    lead_days  integer not null check (lead_days between 0 and 1000),
    state      text not null,
    made_at    timestamptz not null default now(),
    ordered_at timestamptz,
    expected   date,
    constraint purchase_ordered check (state not in ('ordered', 'received') or
        (supplier <> '' and ordered_at is not null and expected is not null))
);
create index purchase_open on purchase (workshop, id) where state in ('proposed', 'ordered');
create index purchase_ordered_at on purchase (workshop, ordered_at) where ordered_at is not null;
create trigger step_guard before insert or update on purchase for each row execute function step_guard('purchase');

create table purchase_line (
    id       bigint generated always as identity primary key,
    purchase bigint not null references purchase,
    part     bigint references part,          -- either a part,
    system   text,                            -- or bars of one system, finish and length
    finish   text,
    length   bigint check (length between 1 and 1000000000),
    quantity bigint not null check (quantity between 1 and 1000000000000),
    price    bigint check (price between 0 and 1000000000000),  -- of one, or of a metre; null: not known
    received bigint not null default 0,       -- the sum of its receipts; only their trigger writes it
    over     boolean not null default false,  -- somebody said to keep more than was ordered
    unique (purchase, part),
    unique (purchase, system, finish, length),
    constraint line_of_one_thing check (num_nonnulls(system, finish, length) = case when part is null then 3 else 0 end),
    constraint received_within_ordered check (0 <= received and (over or received <= quantity))
);
create index purchase_line_part on purchase_line (part) where part is not null;
create index purchase_line_system on purchase_line (system, purchase) where system is not null;

create table purchase_receipt (
    id       bigint generated always as identity primary key,
    line     bigint not null references purchase_line,
    quantity bigint not null check (quantity > 0),
    ledger   bigint unique references ledger,
    bar      bigint unique references bar,
    at       timestamptz not null default now(),
    constraint receipt_of_one_thing check ((ledger is null) <> (bar is null) and (bar is null or quantity = 1))
);
create index purchase_receipt_line on purchase_receipt (line);
create trigger keep_forever before update or delete on purchase_receipt for each row execute function keep_forever();
create trigger keep_forever_all before truncate on purchase_receipt for each statement execute function keep_forever();

-- What was asked for is settled when it is ordered; and a purchase of nothing is not one.
create function purchase_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if new.state = 'ordered' and not exists (select from purchase_line where purchase = new.id) then
        perform refuse('nothing-to-order', 'purchase ' || new.id, 'It has no lines; cancel it instead.');
    end if;
    if new.state = 'ordered' and new.supplier = '' then
        perform refuse('no-supplier', 'purchase ' || new.id, 'Nobody is named who supplies it; `ellwand purchase change --supplier` does.');
    end if;
    if old.state <> 'proposed' and (new.supplier, new.ordered_at) is distinct from (old.supplier, old.ordered_at) then
        perform refuse('purchase-settled', 'purchase ' || new.id, format('It is %s; only a proposal changes.', old.state));
    end if;
    return new;
end
$$;
create trigger purchase_guard before update on purchase for each row execute function purchase_guard();

create function purchase_line_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    line purchase_line := case tg_op when 'DELETE' then old else new end;
    above purchase;
begin
    if tg_op = 'UPDATE' and (new.purchase, new.part, new.system, new.finish, new.length, new.quantity, new.price)
                            is not distinct from (old.purchase, old.part, old.system, old.finish, old.length, old.quantity, old.price) then
        return new;
    end if;
    select * into above from purchase where id = line.purchase;
    if above.state <> 'proposed' then
        perform refuse('purchase-settled', 'purchase ' || above.id, format('It is %s; only a proposal changes.', above.state));
    end if;
    if line.part is not null and not exists (select from part where id = line.part and workshop = above.workshop) then
        perform refuse('unknown-part', 'purchase ' || above.id, 'This part is of another workshop.');
    end if;
    return line;
end
$$;
create trigger purchase_line_guard before insert or update or delete on purchase_line
    for each row execute function purchase_line_guard();

-- A receipt belongs to goods that came in, of the kind and number that it says, for a purchase that is under way.
create function purchase_receipt_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if not exists (select from purchase_line line join purchase on purchase.id = line.purchase
                   where line.id = new.line and purchase.state = 'ordered') then
        perform refuse('not-ordered', 'purchase line ' || new.line, 'Goods are received only against a purchase that is ordered.');
    end if;
    if not exists (select from purchase_line line join stock on stock.part = line.part join ledger on ledger.stock = stock.id
                   where line.id = new.line and ledger.id = new.ledger and ledger.kind = 'receipt' and ledger.delta = new.quantity
                   union all
                   select from purchase_line line join bar using (system, finish, length) join purchase on purchase.id = line.purchase
                   where line.id = new.line and bar.id = new.bar and bar.kind = 'bar' and bar.origin = 'bought'
                     and bar.workshop = purchase.workshop) then
        perform refuse('wrong-receipt', 'purchase line ' || new.line, 'What came in is not what this line asks for.');
    end if;
    return new;
end
$$;
create trigger purchase_receipt_guard before insert on purchase_receipt for each row execute function purchase_receipt_guard();

create function book_purchase_receipt() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    perform refuse('over-received', 'purchase line ' || line.id, format(
        'More came in (%s) than was ordered (%s): send the rest back, or receive it with "over".',
        shown_words(coalesce(part.unit, 'each'), line.received + new.quantity), shown_words(coalesce(part.unit, 'each'), line.quantity)))
    from purchase_line line left join part on part.id = line.part
    where line.id = new.line and not line.over and line.received + new.quantity > line.quantity;
    update purchase_line set received = received + new.quantity where id = new.line;
    return null;
end
$$;
create trigger book after insert on purchase_receipt for each row execute function book_purchase_receipt();

-- Days from the order to the goods, of the lines of which all came that was to come: the mean of their receipts, by quantity.
create view purchase_lead as
    select purchase.workshop, purchase.supplier, purchase.id as purchase, purchase_line.part, purchase_line.system,
           purchase.ordered_at,
           (sum(purchase_receipt.quantity * extract(epoch from purchase_receipt.at - purchase.ordered_at))
                / sum(purchase_receipt.quantity) / 86400)::double precision as days
    from purchase
    join purchase_line on purchase_line.purchase = purchase.id
    join purchase_receipt on purchase_receipt.line = purchase_line.id
    where purchase.state in ('ordered', 'received')
      and (purchase.state = 'received' or purchase_line.received >= purchase_line.quantity)
    group by purchase.id, purchase_line.id;

grant select on purchase, purchase_line, purchase_receipt, purchase_lead to ellwand_daemon;
grant insert (workshop, supplier, lead_days, state), update (supplier, lead_days, state, ordered_at, expected)
    on purchase to ellwand_daemon;
grant insert (purchase, part, system, finish, length, quantity, price), update (quantity, price, over), delete
    on purchase_line to ellwand_daemon;
grant insert (line, quantity, ledger, bar) on purchase_receipt to ellwand_daemon;
