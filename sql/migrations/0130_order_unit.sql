-- What an order's labels and fitting sheets show its lengths in. They stay in tenths of a millimetre here.
set local search_path = ellwand;

alter table job_order add column unit text not null default 'mm' check (unit in ('mm', 'cm', 'in'));
