-- On what terms bars of a length are bought (supplier, pack, least order, prices by quantity), as the catalogue tells them.
set local search_path = ellwand;

alter table bar_length add column terms jsonb not null default '{}' check (jsonb_typeof(terms) = 'object');
