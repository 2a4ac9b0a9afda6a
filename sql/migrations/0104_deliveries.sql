-- How long each purchase took from its order to its goods, kept when it is all received: suppliers are told by these, however
-- many purchases there were. And what reports of the last weeks look for.
set local search_path = ellwand;

create table delivery (
    purchase   bigint primary key references purchase,
    workshop   integer not null references workshop,
    supplier   text not null,
    ordered_at timestamptz not null,
    days       double precision not null
);
create index delivery_of_workshop on delivery (workshop, ordered_at);

create function keep_delivery() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into delivery (purchase, workshop, supplier, ordered_at, days)
    select purchase, workshop, supplier, ordered_at, avg(days) from purchase_lead where purchase = new.id
    group by purchase, workshop, supplier, ordered_at;
    return null;
end
$$;
create trigger keep_delivery after update on purchase for each row
    when (new.state = 'received' and old.state <> 'received') execute function keep_delivery();

insert into delivery (purchase, workshop, supplier, ordered_at, days)
select lead.purchase, lead.workshop, lead.supplier, lead.ordered_at, avg(lead.days)
from purchase_lead lead join purchase on purchase.id = lead.purchase
where purchase.state = 'received'
group by lead.purchase, lead.workshop, lead.supplier, lead.ordered_at;
grant select on delivery to ellwand_daemon;

create index part_week_adjusted on part_week (week, part) where adjusted <> 0;
create index sent_week_week on sent_week (week, part);
